// What the car should read, and how near is near enough.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>

#include "shimwise/model/car.hpp"

namespace shimwise {

/// A wanted value with its tolerance, or a one-sided limit. Values in the unit of what is wanted.
struct Target {
    std::optional<double> value;
    double tolerance = 0.0;
    bool tolerance_is_common_practice = false;  // left out in the file
    std::optional<double> least;
    std::optional<double> most;
};

/// Keys are names of outputs: corner ones ("toe", "camber", "caster"), in degrees; car ones ("total_toe_front",
/// "rake", "front_difference", "cross_weight", ...); ride heights by the name of their point, in mm.
struct Targets {
    std::string file;
    std::array<std::map<std::string, Target>, corner_count> corners;
    std::map<std::string, Target> car;
    std::map<std::string, Target> ride_heights;
};

/// Reads a targets file for `car`: names are checked against it, toe given in mm at the flags becomes degrees.
/// Tolerances left out are common practice (no source): toe 0.5 mm at the flags, camber 0.05 deg, heights 0.5 mm,
/// front difference 1 kg. Throws InputError with every problem of the file.
Targets load_targets(const std::string& path, const Car& car);

}  // namespace shimwise
