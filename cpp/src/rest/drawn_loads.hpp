// What a car file leaves to be found: loads of springs that rest as drawn, the centre of gravity from four scales.
#pragma once

#include "shimwise/rest/model.hpp"

namespace shimwise {

/// Whether a car leaves nothing to be found.
bool loads_are_given(const Car& car);

/// The car with every spring's load as drawn and with `cg_mm`. Throws OutOfReach.
Car with_drawn_loads(Car car);

/// The model of a car that leaves nothing to be found.
RestModel with_loads_given(const Car& car);

/// Reads all of such a model anew from its car.
void read_car(RestModel& model);

}  // namespace shimwise
