// The readings to expect once something is turned: the question before any plan.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "shimwise/workshop/choose/predict.hpp"

namespace shimwise {

struct TurnedAdjuster {
    std::string key;    // "front_left.track rod"
    std::string words;  // "2 flats longer (0.333 turn)"
    double before = 0.0;
    double after = 0.0;  // turns of a thread from drawn, thickness of a stack in mm
    double minutes = 0.0;
};

/// Every adjuster that stands differently, corner by corner. Throws std::invalid_argument where the cars have other
/// adjusters.
std::vector<TurnedAdjuster> turned_between(const Car& before, const Car& after);

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
    CarHeld held = CarHeld::contact;
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
