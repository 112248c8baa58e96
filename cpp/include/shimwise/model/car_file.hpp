// A car file, TOML 1.0, format "shimwise-car/1": see docs/formats.md.
#pragma once

#include <string>

#include "shimwise/files/source.hpp"
#include "shimwise/model/car.hpp"

namespace shimwise {

/// Reads a car and checks its physical sense. Throws InputError with every problem of the file, each with its line,
/// column, field, value and rule; an unknown key is a problem with "did you mean".
Car car_from(const Source& source);
inline Car load_car(const std::string& path) { return car_from(read_source(path)); }

}  // namespace shimwise
