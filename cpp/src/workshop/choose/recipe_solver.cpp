#include "workshop/choose/recipe_solver.hpp"

#include <utility>

#include "shimwise/error.hpp"
#include "workshop/choose/recipe_newton.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr Hold spring_held = {.what = Held::spring};

}  // namespace

RecipeSolver::RecipeSolver(Setup now, std::vector<Output> outputs, std::vector<double> step_mm)
    : setup_(std::move(now)),
      outputs_(std::move(outputs)),
      step_mm_(std::move(step_mm)),
      spring_length_mm_(present_value(setup_, spring_held)),
      now_(rates(setup_, spring_held, spring_length_mm_)),
      outputs_now_(outputs_at(setup_, spring_held, spring_length_mm_)) {}

bool RecipeSolver::can(const AdjusterSet& set, const VectorXd& change) const {
    return solvable(per_step(now_, set), change);
}

std::optional<RecipeSolution> RecipeSolver::solve(const AdjusterSet& set, const VectorXd& change) const {
    const auto slope = [&](const Rates& rates) {
        RecipeSlope at{VectorXd(static_cast<Index>(outputs_.size())), per_step(rates, set)};
        for (std::size_t o = 0; o < outputs_.size(); ++o)
            at.changed(static_cast<Index>(o)) = rates.values[index(outputs_[o])] - now_.values[index(outputs_[o])];
        return at;
    };
    const auto steps = steps_to_change(
        slope(now_),
        [&](const VectorXd& at_steps) -> std::optional<RecipeSlope> {
            const auto rates = rates_at(set, at_steps);
            return rates ? std::optional(slope(*rates)) : std::nullopt;
        },
        change);
    return steps ? std::optional(solution_of(*steps, set, step_mm_)) : std::nullopt;
}

Outputs<double> RecipeSolver::change(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    Outputs<double> difference = outputs_at(moved(set, amounts_mm), spring_held, spring_length_mm_);
    for (std::size_t o = 0; o < output_count; ++o) difference[o] -= outputs_now_[o];
    return difference;
}

MatrixXd RecipeSolver::per_step(const Rates& rates, const AdjusterSet& set) const {
    MatrixXd A(static_cast<Index>(outputs_.size()), static_cast<Index>(set.size()));
    for (std::size_t o = 0; o < outputs_.size(); ++o)
        for (std::size_t a = 0; a < set.size(); ++a)
            A(static_cast<Index>(o), static_cast<Index>(a)) =
                rates.per_mm[set[a]][index(outputs_[o])] * step_mm_[set[a]];
    return A;
}

std::optional<Rates> RecipeSolver::rates_at(const AdjusterSet& set, const VectorXd& steps) const {
    try {
        return rates(moved(set, solution_of(steps, set, step_mm_).amounts_mm), spring_held, spring_length_mm_);
    } catch (const OutOfReach&) {
        return std::nullopt;
    }
}

Setup RecipeSolver::moved(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    Setup setup = setup_;
    for (std::size_t a = 0; a < set.size(); ++a) setup.amounts_mm[set[a]] += amounts_mm[a];
    return setup;
}

}  // namespace shimwise
