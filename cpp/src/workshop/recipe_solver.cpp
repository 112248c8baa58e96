#include "workshop/recipe_solver.hpp"

#include <Eigen/QR>
#include <utility>

#include "shimwise/error.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double met = 0.2 * tolerances::recipe;  // so that it is still met when it is set again
constexpr double settled_steps = 1e-6;            // least movement is flat about its place
constexpr int most_iterations = 30;
constexpr int most_halvings = 12;
constexpr double rank_threshold = 1e-9;

/// The shortest x of those that come nearest to A x = b.
VectorXd shortest(const MatrixXd& A, const VectorXd& b) {
    Eigen::CompleteOrthogonalDecomposition<MatrixXd> decomposition;
    decomposition.setThreshold(rank_threshold);
    decomposition.compute(A);
    return decomposition.solve(b);
}

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
    if (set.empty()) return false;
    const MatrixXd A = per_step(now_, set);
    return (A * shortest(A, change) - change).norm() <= rank_threshold * change.norm();
}

std::optional<RecipeSolution> RecipeSolver::solve(const AdjusterSet& set, const VectorXd& change) const {
    VectorXd steps = VectorXd::Zero(static_cast<Index>(set.size()));
    std::optional<Rates> at = now_;
    double moved_steps = 0.0;
    for (int i = 0; i < most_iterations; ++i) {
        VectorXd missing = change;
        for (std::size_t o = 0; o < outputs_.size(); ++o)
            missing(static_cast<Index>(o)) -= at->values[index(outputs_[o])] - now_.values[index(outputs_[o])];
        if (missing.cwiseAbs().maxCoeff() <= met && moved_steps <= settled_steps) {
            RecipeSolution solution;
            solution.movement = steps.squaredNorm();
            for (std::size_t a = 0; a < set.size(); ++a)
                solution.amounts_mm.push_back(steps(static_cast<Index>(a)) * step_mm_[set[a]]);
            return solution;
        }
        const MatrixXd A = per_step(*at, set);
        VectorXd next = shortest(A, missing + A * steps);
        at = rates_at(set, next);
        for (int halvings = 0; !at && halvings < most_halvings; ++halvings) {
            next = 0.5 * (next + steps);
            at = rates_at(set, next);
        }
        if (!at) return std::nullopt;
        moved_steps = (next - steps).cwiseAbs().maxCoeff();
        steps = next;
    }
    return std::nullopt;
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
    std::vector<double> amounts_mm;
    for (std::size_t a = 0; a < set.size(); ++a) amounts_mm.push_back(steps(static_cast<Index>(a)) * step_mm_[set[a]]);
    if (!steps.allFinite()) return std::nullopt;
    try {
        return rates(moved(set, amounts_mm), spring_held, spring_length_mm_);
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
