// The closest plan that takes no more than so many minutes.
#pragma once

#include "workshop/choose/closest.hpp"

namespace shimwise {

/// Which adjusters are touched is chosen by the linear model: those are added that bring the cost down most, then any
/// two are exchanged while that helps. So it is a good plan, and not proven the best.
std::optional<Closest> closest_in_minutes(WholeProblem& problem, double minutes);

}  // namespace shimwise
