// The linear problem that a mixed-integer solver is asked.
#pragma once

#include "workshop/choose/part.hpp"
#include "workshop/choose/whole_problem.hpp"

namespace shimwise {

/// About these settings, with what the plan turns and what it holds.
LinearPlan linear_plan(const WholeProblem& problem, const std::vector<PlannedSetting>& about, const Part& part,
                       const Selection& selection, HeldCar& held);

/// Wanted values that exclude each other whatever is turned, by how far they are left off: "front_difference and
/// rear_difference cannot be met together, whatever is turned: ..."; empty where none do.
std::string impossible_words(const LinearPlan& linear, const std::vector<Wanted>& wanted);

}  // namespace shimwise
