#include "workshop/choose/recipe_newton.hpp"

#include "math/decompositions.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double met = 0.2 * tolerances::recipe;  // so that it is still met when it is set again
constexpr double settled_steps = 1e-6;            // least movement is flat about its place
constexpr int most_iterations = 30;
constexpr int most_halvings = 12;  // in all: near the end of what assembles every step would be halved
constexpr double rank_threshold = 1e-9;

}  // namespace

RecipeSolution solution_of(const VectorXd& steps, const AdjusterSet& set, const std::vector<double>& step_mm) {
    RecipeSolution solution;
    solution.movement = steps.squaredNorm();
    for (std::size_t a = 0; a < set.size(); ++a)
        solution.amounts_mm.push_back(steps(static_cast<Eigen::Index>(a)) * step_mm[set[a]]);
    return solution;
}

bool solvable(const MatrixXd& A, const VectorXd& b) {
    return A.cols() > 0 && (A * shortest(A, b, rank_threshold) - b).norm() <= rank_threshold * b.norm();
}

std::optional<VectorXd> steps_to_change(const RecipeSlope& start, const RecipeSlopes& slopes, const VectorXd& change) {
    VectorXd steps = VectorXd::Zero(start.per_step.cols());
    std::optional<RecipeSlope> at = start;
    double moved_steps = 0.0;
    int halvings = 0;
    for (int i = 0; i < most_iterations; ++i) {
        const VectorXd missing = change - at->changed;
        if (missing.cwiseAbs().maxCoeff() <= met && moved_steps <= settled_steps) return steps;
        VectorXd next = shortest(at->per_step, missing + at->per_step * steps, rank_threshold);
        const auto slopes_at = [&slopes](const VectorXd& at_steps) {
            return at_steps.allFinite() ? slopes(at_steps) : std::nullopt;
        };
        at = slopes_at(next);
        while (!at && halvings++ < most_halvings) {
            next = 0.5 * (next + steps);
            at = slopes_at(next);
        }
        if (!at) return std::nullopt;
        moved_steps = (next - steps).cwiseAbs().maxCoeff();
        steps = next;
    }
    return std::nullopt;
}

}  // namespace shimwise
