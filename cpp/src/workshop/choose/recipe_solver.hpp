// The amounts of a set of adjusters that change some outputs by given amounts, the spring's length held.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "shimwise/motion/rates.hpp"
#include "workshop/choose/recipe_newton.hpp"

namespace shimwise {

class RecipeSolver {
public:
    /// `outputs`: what is moved or kept; `step_mm`: of every adjuster of the corner.
    RecipeSolver(Setup now, std::vector<Output> outputs, std::vector<double> step_mm);

    /// Whether the linear model can change the outputs like this with a set: a rank test.
    bool can(const AdjusterSet& set, const Eigen::VectorXd& change) const;

    /// Newton until the outputs have changed by `change`; of more adjusters than outputs the least movement. Nothing
    /// where it is not met, or the corner does not assemble on the way.
    std::optional<RecipeSolution> solve(const AdjusterSet& set, const Eigen::VectorXd& change) const;

    /// Change of all outputs with other amounts than now. Throws OutOfReach.
    Outputs<double> change(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;

    const Outputs<double>& now() const { return outputs_now_; }
    double spring_length_mm() const { return spring_length_mm_; }

private:
    Eigen::MatrixXd per_step(const Rates& rates, const AdjusterSet& set) const;
    std::optional<Rates> rates_at(const AdjusterSet& set, const Eigen::VectorXd& steps) const;
    Setup moved(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;

    Setup setup_;
    std::vector<Output> outputs_;
    std::vector<double> step_mm_;
    double spring_length_mm_ = 0.0;
    Rates now_;
    Outputs<double> outputs_now_;
};

}  // namespace shimwise
