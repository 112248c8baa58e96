// What will be read next: measured + (model after - model before), once the whole car stands again.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/motion/rates.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// By how much the model itself may be off in every change that it tells or explains: a standard deviation, as a share.
/// Ours, no source.
inline constexpr double usual_model_share = 0.02;

/// A height, weight, share or difference that was read.
struct CarValue {
    ValueId id;
    double now = 0.0;
    double then = 0.0;
    double deviation = 0.0;  // of the next reading: what comes anew with both readings
};

/// How the car stands again: at rest on its springs; on solid struts, without weights; each corner by itself.
enum class CarHeld { rest, spring, contact };
inline constexpr std::array<std::string_view, 3> car_held_names = {"rest", "spring", "contact"};

using OfCorners = std::array<Outputs<double>, corner_count>;

struct WholeCarChange {
    CarHeld held = CarHeld::rest;
    std::string why_not;           // why the car does not stand by the model: then contacts are held
    std::vector<CarValue> values;  // in the order in which they were read; none where contacts are held
    OfCorners change{};            // by the model, in the ground's frame
};

/// predicted = measured + (model after - model before), both models at rest on the pads that were read, with bars,
/// ballast and struts as they were then. Throws OutOfReach where not even a corner by itself can stand.
WholeCarChange whole_car_change(const Measured& measured, const Car& before, const Car& after);

/// What a person must know about these numbers.
std::string whole_car_words(const WholeCarChange& change, const Car& car);

/// What the instruments will show at a wheel, with the same zeros, one standard deviation beside it. Nothing where the
/// output was not measured.
struct Expectation {
    std::optional<double> toe_deg, toe_deviation_deg;
    std::optional<double> flag_difference_mm, flag_deviation_mm;  // front flag less rear flag
    std::optional<double> camber_deg, camber_deviation_deg;
    std::optional<double> gauge_deg;  // inclination to plumb plus the gauge's zero error
};

/// A corner as it stood when it was read, on the measured ground: where every prediction starts.
struct AsMeasured {
    Corner corner;
    Outputs<double> model;
    Rates rates;  // contact held on the ground
};
AsMeasured as_measured(const Measured& measured, const Corner& corner);

/// predicted = measured + change, where `change` is that of the model from `before` to `after`. The next reading
/// scatters about it by what comes anew with both readings, and by what a hand misses at every adjuster that stands
/// differently.
Expectation expectation(const Measured& measured, const AsMeasured& before, const Corner& after,
                        const Outputs<double>& change);

/// Total toe, thrust angle and differences of camber, where they were measured, for changes with independent errors at
/// the corners.
struct ExpectedTotal {
    ValueId id;
    double now_deg = 0.0;
    double then_deg = 0.0;
    double deviation_deg = 0.0;  // of the next reading
};
std::vector<ExpectedTotal> expected_totals(const Measured& measured, const OfCorners& change,
                                           const OfCorners& missed_variance = {});

}  // namespace shimwise
