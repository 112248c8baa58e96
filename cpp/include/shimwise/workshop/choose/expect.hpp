// The readings to expect once something is turned: the question before any plan.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/motion/effects.hpp"
#include "shimwise/workshop/choose/whole_car.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

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

/// Total toe and thrust angle, where they were measured, for changes of toe with independent errors at the corners.
struct ExpectedTotal {
    std::string key;
    double now_deg = 0.0;
    double then_deg = 0.0;
    double deviation_deg = 0.0;  // of the next reading
};
std::vector<ExpectedTotal> expected_totals(const Measured& measured,
                                           const std::array<double, corner_count>& toe_change_deg,
                                           const std::array<double, corner_count>& missed_deg2 = {});

struct TurnedAdjuster {
    std::string key;    // "front_left.track rod"
    std::string words;  // "2 flats longer (0.333 turn)"
    double before = 0.0;
    double after = 0.0;  // turns of a thread from drawn, thickness of a stack in mm
    double minutes = 0.0;
};

struct ExpectedCorner {
    CornerId corner = CornerId::front_left;
    std::vector<TurnedAdjuster> turned;
    Expectation now, then;
    Outputs<double> model_now{}, model_then{};  // by the model alone; their differences are what is predicted

    double change(Output output) const { return model_then[index(output)] - model_now[index(output)]; }
};

struct Expected {
    std::string car;
    std::string frame;  // in which toe and camber are
    std::array<ExpectedCorner, corner_count> corners;
    std::vector<ExpectedTotal> totals;
    std::vector<CarValue> car_values;  // heights and weights that were read
    std::string held = "contact";      // or "rest", "spring": the whole car, once it stands again
    double minutes = 0.0;
    std::vector<std::string> notes;
};

/// What `after` will read, where `measured` was read of `before`: the changes are those of the whole car, at rest again
/// on its springs or on its solid struts. Where the model cannot stand, a note says why, every corner's contact is held
/// on the measured ground instead, and heights and weights are not predicted.
/// Precondition: `before` stands as it was read, `as_read(car, measured.read)`, and `after` is the same car with other
/// settings; otherwise std::invalid_argument. Throws OutOfReach.
Expected expect(const Measured& measured, const Car& before, const Car& after);

}  // namespace shimwise
