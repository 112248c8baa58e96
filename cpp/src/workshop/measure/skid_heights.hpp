// The height under a skid, from what was read of ride heights elsewhere.
#pragma once

#include <optional>

#include "shimwise/workshop/files/skid.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// Height of a new skid's underside at `point` over the ground, as the car runs from this check on: the line along the
/// car through its ride heights, left and right alike; under a skid that is worn, what is worn off there is taken off a
/// height from it. Nothing where heights are not known at two places along the car.
std::optional<double> height_of_new_skid_mm(const Skid& skid, const SkidCheck& check, const SkidPoint& point,
                                            const Car& car);

/// The same as the car was read: heights from a worn skid are those of a new one already.
std::optional<double> height_of_new_skid_mm(const Measured& measured, const SkidPoint& point, const Car& car);

}  // namespace shimwise
