// What a baseline says of its car, as it is worked out anew.
#pragma once

#include "shimwise/workshop/measure/baseline.hpp"

namespace shimwise {

std::vector<BaselineValue> values_to_accept(const Measured& measured);

/// Eye to eye, by name, of every length that threads turn.
std::array<std::map<std::string, double>, corner_count> lengths_set(const Car& car);

}  // namespace shimwise
