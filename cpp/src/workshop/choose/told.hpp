// A plan that was found, told in full.
#pragma once

#include "workshop/choose/whole_problem.hpp"

namespace shimwise {

/// Settings of every movable, values, what will be read next. `whole` is that of the car with the plan done.
Choice told(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan, double model_share);

/// The same of the car as it stands: nothing is turned, whatever limit that breaks.
Choice told_untouched(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& as_it_stands);

/// Of every place that the plan may turn, corner by corner.
std::vector<PlannedSetting> planned_settings(const WholeProblem& problem, const WholePlan& plan);

/// The car with these settings.
Car applied(Car car, const std::vector<PlannedSetting>& settings);

}  // namespace shimwise
