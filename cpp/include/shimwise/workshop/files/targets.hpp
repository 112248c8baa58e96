// What the car should read, and how near is near enough.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>

#include "shimwise/files/source.hpp"
#include "shimwise/model/car.hpp"
#include "shimwise/model/value_id.hpp"

namespace shimwise {

/// A wanted value with its tolerance, or a one-sided limit. Values in the unit of what is wanted.
struct Target {
    std::optional<double> value;
    double tolerance = 0.0;
    bool tolerance_is_common_practice = false;  // left out in the file
    std::optional<double> least;
    std::optional<double> most;
    std::optional<double> flag_span_mm;  // of toe whose value or limit was given in mm at the flags
};

/// A value within a tolerance that is common practice.
Target target_about(double value, double common_tolerance);

/// Of values that can be wanted (`ValueInfo::target`).
struct Targets {
    std::string file;
    Origin origin;
    std::string said;                  // where they are from, for the plan's notes; empty of a file of targets
    std::optional<bool> struts_solid;  // as the values of a baseline were read
    std::map<ValueId, Target> values;
};

/// Those of a corner and of the car by the value's name, those of ride heights by the name of their point.
std::map<std::string, Target> targets_by_name(const Targets& targets, ValueId::Of of, std::size_t corner = 0);
std::array<std::map<std::string, Target>, corner_count> corner_targets_by_name(const Targets& targets);

/// Reads a targets file for `car`: names are checked against it, toe given in mm at the flags becomes degrees.
/// Tolerances left out are those of common practice in the list of values. Throws InputError with every problem.
Targets targets_from(const Source& source, const Car& car);
inline Targets load_targets(const std::string& path, const Car& car) { return targets_from(read_source(path), car); }

}  // namespace shimwise
