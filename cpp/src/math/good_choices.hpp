// Good choices that keep the conditions, without a proof: where the exact search begins.
#pragma once

#include "math/conditions.hpp"

namespace shimwise {

/// Puts what it finds into `cheapest`; deterministic, ends with the work. Starts: nothing touched, and the whole
/// numbers closest to a soft problem whose rows lose weight while they are kept and gain while they are not. From each
/// a descent on cost + weighted misses of the rows in their units, by single steps and steps of reduced lattices; where
/// it stands still outside, what is missed weighs more.
/// `real`: a lower bound of the cost.
void good_choices(const ConditionedProblem& problem, double real, Groups& groups, Cheapest& cheapest, Work& work);

/// Improves the best choice by exact searches of a few unknowns, the others staying: those that act most like one of
/// them, and some that are drawn, others for another `draw`.
void improve_best(const ConditionedProblem& problem, double real, std::uint32_t draw, Groups& groups,
                  Cheapest& cheapest, Work& work);

}  // namespace shimwise
