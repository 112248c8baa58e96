// What a change does once the whole car stands again: heights, weights, and the alignment that goes with them.
#pragma once

#include "shimwise/workshop/measure/reduce.hpp"

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
    std::string held = "rest";     // "spring": on solid struts, no weights; "contact": each corner by itself
    std::string why_not;           // why the car does not stand by the model: then contacts are held
    std::vector<CarValue> values;  // in the order in which they were read; none where contacts are held
    std::array<Outputs<double>, corner_count> change{};  // by the model, in the ground's frame
};

/// predicted = measured + (model after - model before), both models at rest on level pads with bars, ballast and struts
/// as they were when the car was read. Throws OutOfReach where not even a corner by itself can stand.
WholeCarChange whole_car_change(const Measured& measured, const Car& before, const Car& after);

/// "Weights are those of a rigid chassis ..": what a person must know about these numbers.
std::string whole_car_words(const WholeCarChange& change, const Car& car);

}  // namespace shimwise
