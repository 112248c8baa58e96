// How fast a skid wears: its rate, its thickness after the next run, how far it still goes.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/math/prediction.hpp"
#include "shimwise/workshop/files/skid.hpp"

namespace shimwise {

struct WearAsked {
    std::optional<double> next_km;   // length of the next run; nothing: as long as the last one
    std::optional<double> lasts_km;  // how far the skid is to last from now on, by its ride height; nothing: not asked
    bool gauge_alone = false;        // also where no check is left to show how unevenly it wears: the gauge's
                                     // uncertainty alone, which says too little
};

/// A value with its standard uncertainty and the interval that holds it with 95 %.
struct Estimate {
    double value = 0.0;
    double u = 0.0;
    double low = 0.0, high = 0.0;
};

/// A place found by inverse prediction with its interval of 95 %: an end that is not there, or a place where what is
/// fitted does not lead, is nothing.
struct Reached {
    std::optional<double> value, low, high;
};

/// What a line through thicknesses says at one ride height.
struct Outlook {
    Estimate wear_mm_per_100_km;
    Estimate after_next_mm;     // one reading, not the mean
    double chance_under = 0.0;  // of that reading, under the least thickness
    Reached left_km;            // from now on, until the mean is at the least thickness
};

/// Thickness over distance and one ride height, both linear.
struct WearByHeight {
    std::string height;                        // its name, or "under the skid": of a new one, here, by the car
    double now_mm = 0.0;                       // as the car runs from now on
    double lowest_mm = 0.0, highest_mm = 0.0;  // of the runs so far
    Outlook outlook;                           // at the height of now
    Estimate less_mm_per_100_km;               // how much less it wears a mm higher
    std::optional<Reached>
        lasts_mm;  // the height at which the mean reaches the least thickness after the distance asked
};

struct PointWear {
    std::string point;
    std::size_t checks = 0;  // of this skid
    std::size_t runs = 0;    // between them
    double last_mm = 0.0;    // the last reading
    double worn_mm = 0.0;    // a new one less that
    std::string refused;     // why no rate is told; empty where it is
    Scatter scatter;         // of one reading about the line
    std::optional<Outlook> outlook;
    std::vector<WearByHeight> by_height;    // where runs were at different ride heights
    std::optional<double> gap_mm;           // under the skid now, by the car and its ride heights
    std::optional<double> gap_at_least_mm;  // under one of the least thickness
};

struct Wear {
    double now_km = 0.0;   // at the last check
    double next_km = 0.0;  // length of the next run
    std::vector<PointWear> points;
    std::vector<std::string> notes;
};

/// Of the skid that is on the car, from the last check with `new` on: thickness = a - rate distance by least squares,
/// each reading alike. One run alone is no rate, as it does not show how unevenly the skid wears (docs/method.md has
/// the reasoning). Throws InputError where no point has a rate, and where a distance that is asked for has no sense.
Wear wear(const Skid& skid, const WearAsked& asked);

/// The same by the height under each point, from the ride heights of the car, and what is left under it. Precondition:
/// the file was read for this car.
Wear wear(const Skid& skid, const WearAsked& asked, const Car& car);

}  // namespace shimwise
