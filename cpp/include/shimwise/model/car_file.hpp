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

/// A complete car file: what is read of it is the same car, bit for bit, as it is set now. A right corner that is the
/// left one's mirror image is left out, and so are the comments of the file that the car was read from.
/// Throws InputError where the car as it is set could not be read: a limit is broken.
std::string car_text(const Car& car);

/// Writes it to a new file, aside and then renamed. Throws InputError where the file exists.
void save_car(const Car& car, const std::string& path);

}  // namespace shimwise
