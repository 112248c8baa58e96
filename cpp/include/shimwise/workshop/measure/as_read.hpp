// What the clipboard says of rods and shims wins over the car's settings.
#pragma once

#include <string>
#include <vector>

#include "shimwise/workshop/files/readings.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

/// What a caliper does not tell apart.
inline constexpr double same_length_mm = 0.005;

/// The settings that lengths eye to eye and shims of a readings file give, and one sentence for each that differs from
/// the car's. A length that no thread of the corner turns changes nothing, and says so where it is off.
Settings settings_read(const Car& car, const Readings& readings, std::vector<std::string>& notes);

/// The car with what was read. Unlike `with_settings` it takes a setting beyond a limit: it is what stands there.
/// Throws InputError where it was read of a car of another name.
Car as_read(Car car, const Settings& read);

/// Both in one.
Car as_read(const Car& car, const Readings& readings, std::vector<std::string>& notes);

/// "front_left.track rod"
std::string adjuster_key(CornerId id, const std::string& name);

}  // namespace shimwise
