// The steps of adjusters that change some values by given amounts, whatever model the values come from.
#pragma once

#include <Eigen/Core>
#include <functional>
#include <optional>
#include <vector>

#include "workshop/choose/recipe_sets.hpp"

namespace shimwise {

struct RecipeSolution {
    std::vector<double> amounts_mm;  // in a set's order
    double movement = 0.0;           // sum of squared steps
};
RecipeSolution solution_of(const Eigen::VectorXd& steps, const AdjusterSet& set, const std::vector<double>& step_mm);

/// What some values have changed by, and the derivative of each (rows) by each adjuster's steps (columns).
struct RecipeSlope {
    Eigen::VectorXd changed;
    Eigen::MatrixXd per_step;
};
/// Nothing where the car or corner cannot stand like that.
using RecipeSlopes = std::function<std::optional<RecipeSlope>(const Eigen::VectorXd& steps)>;

/// Whether A x = b has a solution: a rank test.
bool solvable(const Eigen::MatrixXd& A, const Eigen::VectorXd& b);

/// Newton from `start` (no steps) until the values have changed by `change`, to `tolerances::recipe`; of more adjusters
/// than values the least sum of squared steps. Nothing where it is not met.
std::optional<Eigen::VectorXd> steps_to_change(const RecipeSlope& start, const RecipeSlopes& slopes,
                                               const Eigen::VectorXd& change);

}  // namespace shimwise
