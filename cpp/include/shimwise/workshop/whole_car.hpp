// What a change does once the whole car stands again: heights, weights, and the alignment that goes with them.
#pragma once

#include "shimwise/workshop/reduce.hpp"

namespace shimwise {

/// A height, weight, share or difference that was read.
struct CarValue {
    std::string key;  // of the measured quantity
    std::string unit;
    double now = 0.0;
    double then = 0.0;
    double deviation = 0.0;  // of the next reading: what comes anew with both readings
};

struct WholeCarChange {
    bool solid = false;  // on solid struts: no weights
    bool rigid_chassis = true;
    std::string why_not;                                 // why the model does not stand; then there is nothing else
    std::vector<CarValue> values;                        // in the order in which they were read
    std::array<Outputs<double>, corner_count> change{};  // by the model, in the ground's frame
};

/// predicted = measured + (model after - model before), both models at rest on level pads with bars, ballast and struts
/// as they were when the car was read.
WholeCarChange whole_car_change(const Measured& measured, const Car& before, const Car& after);

}  // namespace shimwise
