// The adjusters as they stand now: a small file of its own, because a hand-written car file goes stale with the first
// card.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/model/car.hpp"

namespace shimwise {

/// Keys are "corner.adjuster name". Absolute: turns from the drawn length, shims fitted in mm.
struct Settings {
    std::string file;
    Origin origin;
    std::string car;
    std::map<std::string, double> turns;
    std::map<std::string, std::vector<double>> shims_mm;
    std::map<std::string, std::vector<double>> box_mm;  // shared boxes by name, own boxes by "corner.adjuster name"
};

/// Where an adjuster is on a car.
struct AdjusterPlace {
    CornerId corner = CornerId::front_left;
    std::size_t adjuster = 0;
};

/// The place of "corner.adjuster name", or nothing.
std::optional<AdjusterPlace> find_adjuster(const Car& car, const std::string& key);

/// Reads a settings file and checks it against `car`. Throws InputError with every problem.
Settings load_settings(const std::string& path, const Car& car);

/// The car with these settings; what they do not name stays. Throws InputError where a limit is broken.
Car with_settings(Car car, const Settings& settings);

/// The present settings of a car.
Settings settings_of(const Car& car);

/// Writes a new file (aside, then renamed). Throws InputError if the file exists.
void save_settings(const Settings& settings, const std::string& path);

}  // namespace shimwise
