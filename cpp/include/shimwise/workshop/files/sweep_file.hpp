// A sweep as a file asks for it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "shimwise/files/source.hpp"
#include "shimwise/math/sampling.hpp"
#include "shimwise/rest/sweep.hpp"

namespace shimwise {

/// One value of an input: a number, the shims of a pack, or words.
using SweepValue = std::variant<double, std::vector<double>, std::string>;

struct SweepFileInput {
    std::string name;
    std::vector<SweepValue> values;  // of a range its numbers; what is drawn among; else empty
    bool single = false;             // one value, set in all states
    bool among = false;              // the values are drawn
    std::optional<std::pair<double, double>> between;
    bool change = false;  // numbers count from as the car stands
    std::string along;    // the dimension; empty: its own
};

/// Every coordinate of points, drawn within so many mm either way.
struct SweepPoints {
    double within_mm = 0.0;
    std::vector<std::string> of;  // points or corners; empty: all
};

struct SweepFile {
    std::string file;
    Origin origin;
    SweepHold hold = SweepHold::contact;
    std::optional<Moved> moved;
    std::vector<std::string> outputs;
    bool at_hand = false;
    int sample = 0;  // 0: nothing is drawn
    Sampling by = Sampling::latin_hypercube;
    int seed = 0;
    std::vector<SweepFileInput> inputs;
    std::optional<SweepPoints> points;
};

/// Reads a sweep of this car. Throws InputError with every problem: names, values and limits are checked against it.
SweepFile sweep_file_from(const Source& source, const Car& car);

}  // namespace shimwise
