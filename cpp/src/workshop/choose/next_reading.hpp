// What will be read once a plan is done, and how far it scatters.
#pragma once

#include "workshop/choose/whole_problem.hpp"

namespace shimwise {

/// Of every target that was read. `linear`: what a step does. `model_share`: standard deviation of what the model is
/// off, as a share of each adjuster's effect.
NextReading next_reading(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan,
                         double model_share);

/// Standard deviation of the next reading of one wanted value about the prediction; 0 where nothing reads it.
double next_deviation(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan, double model_share,
                      std::size_t wanted);

}  // namespace shimwise
