// The least work that does what a recipe asks, and how far that goes: one search for a corner and for the whole car.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "workshop/choose/recipe_bench.hpp"
#include "workshop/choose/recipe_newton.hpp"
#include "workshop/choose/recipe_sets.hpp"

namespace shimwise {

struct RecipeFound {
    WorkSet set;
    RecipeSolution solution;
    std::vector<std::string> limits;
};

/// The set with the fewest minutes that does it inside the limits, otherwise the fewest minutes; then least movement.
/// `sets` in order of their minutes. A solver says whether it `can` by a rank test, and does `solve`.
template <class Solver>
std::optional<RecipeFound> least_work(const std::vector<WorkSet>& sets, Solver& solver, const RecipeBench& bench,
                                      const Eigen::VectorXd& change) {
    std::optional<RecipeFound> inside, beyond;
    const auto offer = [](std::optional<RecipeFound>& best, RecipeFound found) {
        const bool later = best && found.set.minutes > best->set.minutes + same_minutes;
        if (!best || (!later && found.solution.movement < best->solution.movement)) best = std::move(found);
    };
    for (const WorkSet& set : sets) {
        if (inside && set.minutes > inside->set.minutes + same_minutes) break;
        if (!solver.can(set.adjusters, change)) continue;
        auto solution = solver.solve(set.adjusters, change);
        if (!solution) continue;
        RecipeFound found{set, std::move(*solution), {}};
        found.limits = bench.broken(found.set.adjusters, found.solution.amounts_mm);
        std::optional<RecipeFound>& best = found.limits.empty() ? inside : beyond;
        offer(best, std::move(found));
    }
    return inside ? inside : beyond;
}

/// The largest part of a change that some set does inside the limits, from as it stands.
template <class Solver>
double reach_of(const std::vector<WorkSet>& sets, Solver& solver, const RecipeBench& bench,
                const Eigen::VectorXd& whole) {
    constexpr double matters = 1e-4;  // a set that goes no further is not looked at
    constexpr double settled = 1e-9;
    double furthest = 0.0;
    for (const WorkSet& set : sets) {
        if (!solver.can(set.adjusters, whole)) continue;
        const auto inside = [&](double part) {
            const auto solution = solver.solve(set.adjusters, part * whole);
            return solution && bench.broken(set.adjusters, solution->amounts_mm).empty();
        };
        if (!inside(furthest + matters)) continue;
        double good = furthest + matters, bad = 1.0;
        while (bad - good > settled) {
            const double middle = 0.5 * (good + bad);
            (inside(middle) ? good : bad) = middle;
        }
        furthest = good;
    }
    return furthest;
}

}  // namespace shimwise
