#include "workshop/choose/car_recipe_solver.hpp"

#include <numeric>
#include <utility>

#include "shimwise/error.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int cost_of_failure = 10;  // in states of the car: every step of its search is halved to the last

/// Column of an adjuster in the rest table.
Index column_of(const RestModel& m, const AdjusterPlace& place) {
    std::size_t column = place.adjuster;
    for (std::size_t c = 0; c < index(place.corner); ++c) column += m.car.corners[c].adjusters.size();
    return static_cast<Index>(column);
}

}  // namespace

CarRecipeSolver::CarRecipeSolver(const RestModel& model, const PadHeights& pads_mm, const RestState& state,
                                 MatrixXd rates, const CarRecipeTask& task, std::vector<double> step_mm)
    : moved_(model),
      setups_now_(model.setups),
      pads_mm_(pads_mm),
      outputs_(rest_outputs(model)),
      values_(task.values),
      places_(task.places),
      step_mm_(std::move(step_mm)),
      rates_(std::move(rates)),
      now_(values(state)) {}

bool CarRecipeSolver::can(const AdjusterSet& set, const VectorXd& change) const {
    std::vector<std::size_t> all(values_.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    return can(set, change, all);
}

bool CarRecipeSolver::can(const AdjusterSet& set, const VectorXd& change,
                          const std::vector<std::size_t>& values) const {
    MatrixXd A = per_mm(rates_, set);
    for (std::size_t a = 0; a < set.size(); ++a) A.col(static_cast<Index>(a)) *= step_mm_[set[a]];
    MatrixXd rows(static_cast<Index>(values.size()), A.cols());
    VectorXd wanted(rows.rows());
    for (std::size_t v = 0; v < values.size(); ++v) {
        const double tolerance = values_[values[v]].tolerance;
        rows.row(static_cast<Index>(v)) = A.row(static_cast<Index>(values[v])) / tolerance;
        wanted(static_cast<Index>(v)) = change(static_cast<Index>(values[v])) / tolerance;
    }
    return solvable(rows, wanted);
}

std::optional<RecipeSolution> CarRecipeSolver::solve(const AdjusterSet& set, const VectorXd& change) {
    const auto per_step = [&](MatrixXd A) {
        for (std::size_t a = 0; a < set.size(); ++a) A.col(static_cast<Index>(a)) *= step_mm_[set[a]];
        return A;
    };
    const auto slope = [&](const VectorXd& steps) -> std::optional<RecipeSlope> {
        if (spent()) return std::nullopt;
        --rests_left_;
        try {
            const RestModel& after = moved(set, solution_of(steps, set, step_mm_).amounts_mm);
            const RestState state = rest(after, pads_mm_);
            return RecipeSlope{values(state) - now_, per_step(per_mm(rest_rates(after, state, pads_mm_), set))};
        } catch (const OutOfReach& reason) {
            failure_ = reason.what();
            rests_left_ -= cost_of_failure;
            return std::nullopt;
        }
    };
    const auto steps = steps_to_change({VectorXd::Zero(change.size()), per_step(per_mm(rates_, set))}, slope, change);
    return steps ? std::optional(solution_of(*steps, set, step_mm_)) : std::nullopt;
}

RestState CarRecipeSolver::state(const AdjusterSet& set, const std::vector<double>& amounts_mm) {
    return rest(moved(set, amounts_mm), pads_mm_);
}

MatrixXd CarRecipeSolver::per_mm(const AdjusterSet& set, const std::vector<double>& amounts_mm) {
    const RestModel& after = moved(set, amounts_mm);
    return per_mm(rest_rates(after, rest(after, pads_mm_), pads_mm_), set);
}

VectorXd CarRecipeSolver::values(const RestState& state) const {
    const std::vector<double> all = row(state.values, outputs_);
    VectorXd asked(static_cast<Index>(values_.size()));
    for (std::size_t v = 0; v < values_.size(); ++v) asked(static_cast<Index>(v)) = value(values_[v].named, all);
    return asked;
}

const RestModel& CarRecipeSolver::moved(const AdjusterSet& set, const std::vector<double>& amounts_mm) {
    for (std::size_t c = 0; c < corner_count; ++c) moved_.setups[c].amounts_mm = setups_now_[c].amounts_mm;
    for (std::size_t a = 0; a < set.size(); ++a) {
        const AdjusterPlace& place = places_[set[a]];
        moved_.setups[index(place.corner)].amounts_mm[place.adjuster] += amounts_mm[a];
    }
    return moved_;
}

MatrixXd CarRecipeSolver::per_mm(const MatrixXd& rates, const AdjusterSet& set) const {
    MatrixXd A(static_cast<Index>(values_.size()), static_cast<Index>(set.size()));
    for (std::size_t v = 0; v < values_.size(); ++v) {
        const VectorXd of_value = rates_of(values_[v].named, rates);
        for (std::size_t a = 0; a < set.size(); ++a)
            A(static_cast<Index>(v), static_cast<Index>(a)) = of_value(column_of(moved_, places_[set[a]]));
    }
    return A;
}

}  // namespace shimwise
