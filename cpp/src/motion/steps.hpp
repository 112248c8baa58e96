// One step of an adjuster each way, as a change of its amount.
#pragma once

#include <utility>
#include <vector>

#include "shimwise/motion/effects.hpp"

namespace shimwise {

/// A thread: its step longer and shorter; a stack: the next thicker and the next thinner pack that the shims at hand
/// make. Those that there are.
std::vector<std::pair<Per, double>> steps_of(const Car& car, const Adjuster& adjuster);

}  // namespace shimwise
