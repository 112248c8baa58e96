// Why no turns do what a recipe of the whole car asks.
#pragma once

#include <string>

#include "workshop/choose/car_recipe_solver.hpp"
#include "workshop/choose/recipe_bench.hpp"

namespace shimwise {

/// Values that cannot be had together, as few of them as still cannot, with the reason; empty where a rank test of all
/// adjusters passes.
std::string why_not_together(const CarRecipeSolver& solver, const CarRecipeTask& task, const AdjusterSet& all,
                             const Eigen::VectorXd& change, bool twists);

}  // namespace shimwise
