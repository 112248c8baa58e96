// A bar goes on and off, and from blade to blade, by hand: the car with it as it is to be.
#pragma once

#include <string>

#include "shimwise/model/car.hpp"

namespace shimwise {

/// The car with the bar of its front (0) or rear (1) axle connected or not; with another blade in it where one is
/// named. Throws InputError where the car has no such bar, or the bar no such blade.
Car with_bar(Car car, std::size_t axle, bool connected, const std::string& blade = {});

}  // namespace shimwise
