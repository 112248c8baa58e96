// What is possible and yet unlikely, said before any turn: a doubt is a sentence and never an error.
#pragma once

#include <string>
#include <vector>

#include "shimwise/workshop/files/targets.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

struct Doubt {
    std::string at;    // "front_left.flags_mm": what to look at again
    std::string text;  // what stands there, what is usual, why it matters
};

/// Of the car as drawn and as it is set: the ranges of `usual_list`, and whether it stands at rest.
std::vector<Doubt> doubts(const Car& car);

/// Of what was read, by itself and beside the model of the car as it was read. `car` is the one given to `reduce`.
std::vector<Doubt> doubts(const Measured& measured, const Car& car);

/// Of what is wanted, beside what was read of the car.
std::vector<Doubt> doubts(const Targets& targets, const Measured& measured, const Car& car);

/// Settings files of this car in its file's folder, where none of them says what the car is set to. Reads the folder.
std::vector<Doubt> settings_beside(const Car& car);

/// "doubtful: look again at front_left.flags_mm, mass.cg_mm. "; empty without a doubt.
std::string doubtful_words(const std::vector<Doubt>& doubts);

}  // namespace shimwise
