// A choice told in full: settings, what they predict, and what will be read next.
#pragma once

#include "workshop/choose/picks.hpp"

namespace shimwise {

/// What it predicts is that of the whole car once it stands again, whatever the search said of
/// each corner by itself.
Choice told(const Car& car, const Measured& measured, const Targets& targets, const CornerProblems& problems,
            const PickOf& picks);

/// The car with the settings of a plan's corners.
Car applied(Car car, const std::array<CornerPlan, corner_count>& corners);

}  // namespace shimwise
