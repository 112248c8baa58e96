// The amounts of a set of adjusters that change some values of the car at rest by given amounts.
#pragma once

#include <Eigen/Core>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "workshop/choose/car_recipe_ask.hpp"
#include "workshop/choose/recipe_newton.hpp"

namespace shimwise {

class CarRecipeSolver {
public:
    /// `step_mm`: of every place of the task.
    CarRecipeSolver(const RestModel& model, const PadHeights& pads_mm, const RestState& state, Eigen::MatrixXd rates,
                    const CarRecipeTask& task, std::vector<double> step_mm);

    /// Whether the linear model can change these values (all of them; or those that are given) like this.
    bool can(const AdjusterSet& set, const Eigen::VectorXd& change) const;
    bool can(const AdjusterSet& set, const Eigen::VectorXd& change, const std::vector<std::size_t>& values) const;

    /// Newton on the re-solved car; of more adjusters than values the least movement. Nothing where it is not met.
    std::optional<RecipeSolution> solve(const AdjusterSet& set, const Eigen::VectorXd& change);

    /// The car at rest with amounts turned. Throws OutOfReach.
    RestState state(const AdjusterSet& set, const std::vector<double>& amounts_mm);
    /// Derivative of the values (rows) by each adjuster's mm, there. Throws OutOfReach.
    Eigen::MatrixXd per_mm(const AdjusterSet& set, const std::vector<double>& amounts_mm);
    /// The values now, and of a state.
    const Eigen::VectorXd& now() const { return now_; }
    Eigen::VectorXd values(const RestState& state) const;
    double tolerance(std::size_t value) const { return values_[value].tolerance; }
    /// What the car said where it could not stand on the last way.
    const std::string& failure() const { return failure_; }
    /// How often the car may still be put to rest: beyond it nothing more is met.
    void allow(int rests) { rests_left_ = rests; }
    bool spent() const { return rests_left_ <= 0; }

private:
    const RestModel& moved(const AdjusterSet& set, const std::vector<double>& amounts_mm);
    Eigen::MatrixXd per_mm(const Eigen::MatrixXd& rates, const AdjusterSet& set) const;

    RestModel moved_;  // the car, with its amounts as they were last asked for
    std::array<Setup, corner_count> setups_now_;
    PadHeights pads_mm_;
    std::vector<ValueId> outputs_;
    std::vector<AskedValue> values_;
    std::vector<AdjusterPlace> places_;
    std::vector<double> step_mm_;
    Eigen::MatrixXd rates_;
    Eigen::VectorXd now_;
    std::string failure_;
    int rests_left_ = 0;
};

}  // namespace shimwise
