// What the benchmark counts and times: solvers of one corner's states, ours and a peer's, and how well they agree.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "shimwise/model/car.hpp"

namespace bench {

/// Made once; `run` then does that many states.
struct Row {
    std::string name;
    std::string what;
    double aim_us = 0.0;  // a state, on a core of 3 GHz; 0: none
    std::function<void(long states)> run;
    long states = 20'000;  // of one timing
};

/// Rows on a car's front left corner.
std::vector<Row> rows(const shimwise::Car& car);

double microseconds_a_state(const Row& row, long states);

/// What every solver must find with the contact at a height: from the library's `rates`, one mm being of track rod.
struct Expected {
    double contact_height_mm = 0.0;
    double toe_deg = 0.0;
    double camber_deg = 0.0;
    double toe_deg_per_mm = 0.0;
    double camber_deg_per_mm = 0.0;
};
std::vector<Expected> expected(const shimwise::Car& car);

/// Largest differences of one solver over a whole sweep with the contact held.
struct Accuracy {
    std::string name;
    double residual_mm = 0.0;  // of the five links' lengths and the held height, by the solver's own pose
    double angle_deg = 0.0;    // toe and camber, from what is expected
    double rate = 0.0;         // sensitivities, deg/mm
};
std::vector<Accuracy> accuracies(const shimwise::Car& car);

}  // namespace bench
