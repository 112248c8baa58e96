// The ride heights with which a skid lasts, as what is wanted of a car.
#pragma once

#include "shimwise/workshop/files/targets.hpp"
#include "shimwise/workshop/measure/reduce.hpp"
#include "shimwise/workshop/measure/wear.hpp"

namespace shimwise {

/// Every ride height that was read, raised by the same so that rake stays: by what the point lacks that lacks most
/// under it, as the car was read, for `asked.lasts_km` by the mean. As they are where none lacks anything. Tolerances
/// are common practice. Throws InputError where no distance is asked for, where heights were not read at two places
/// along the car, and where a point that does not last as far tells no height that does.
Targets targets_that_last(const Skid& skid, const WearAsked& asked, const Measured& measured, const Car& car);

}  // namespace shimwise
