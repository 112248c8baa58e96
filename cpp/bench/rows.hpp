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
    std::function<void(long states)> run;
};

/// Rows on a car's front left corner.
std::vector<Row> rows(const shimwise::Car& car);

/// Largest differences of one solver over a whole sweep with the contact held.
struct Accuracy {
    std::string name;
    double residual_mm = 0.0;  // of the five links' lengths and the held height, by the solver's own pose
    double angle_deg = 0.0;    // toe and camber, from the library's `outputs_at`
    double rate = 0.0;         // sensitivities, deg/mm, from the library's `rates`
};
std::vector<Accuracy> accuracies(const shimwise::Car& car);

}  // namespace bench
