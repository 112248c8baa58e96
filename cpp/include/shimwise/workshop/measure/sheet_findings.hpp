// What a sheet of readings says of itself: of what its values are made, and how its strings ran.
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// How much of a value's variance comes from one kind of input.
struct PartOfVariance {
    InputKind kind = InputKind::flag;
    double share = 0.0;
};

/// The largest first; what brings nothing is left out. Empty where the value is exact.
std::vector<PartOfVariance> made_of(const Measured& measured, std::size_t quantity);

/// A length or an angle that is looked for, with its standard uncertainty.
struct Finding {
    double value = 0.0;
    double u = 0.0;
    /// Whether it is less sure than itself: no more than its own uncertainty.
    bool unsure() const { return !(std::abs(value) > u); }
};

struct StringsRead {
    std::array<Finding, 2> angle_deg;  // left, right; + = wider at the front: what is taken off the toes beside it
    Finding wider_in_front_mm;         // the strings' distance from each other at the front bar less at the rear bar
    std::array<Finding, 2>
        off_centre_mm;  // at the front bar, at the rear bar: their middle, + = to the left of the car's
};

/// Of the camber gauge, by this morning's check or else by the car file.
Finding gauge_zero_deg(const Measured& measured);

/// A reading that was taken more than once.
struct Repeat {
    std::string key;  // "ride_height.front_right", "front_left.flags.front"
    std::string unit;
    std::vector<double> readings;
    bool in_sets = false;  // the mean of each set of a sheet that was read anew after settling
    double scatter = 0.0;  // standard deviation of one of them: last digit and hand, between sets settling too
};
std::vector<Repeat> repeats(const Measured& measured, const Car& car);

/// Nothing where the strings were not read.
std::optional<StringsRead> strings_read(const Measured& measured, const Car& car);

}  // namespace shimwise
