// What an answer was made from: files by their role, each with the digest of the bytes that were read.
#pragma once

#include <string>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/workshop/files/readings.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "shimwise/workshop/files/skid.hpp"
#include "shimwise/workshop/files/sweep_file.hpp"
#include "shimwise/workshop/files/targets.hpp"

namespace shimwise {

struct Input {
    std::string role;  // "car", "settings", "readings", "targets", "skid", "sweep", "card" or "points"
    std::string file;
    Origin origin;
};

Input input_of(const Car& car);
Input input_of(const Settings& settings);
Input input_of(const Readings& readings);
Input input_of(const Targets& targets);
Input input_of(const Skid& skid);
Input input_of(const SweepFile& sweep);

/// What each is called beside the others: its file name; its path where another has that name; its role before it
/// where another has that path.
std::vector<std::string> input_names(const std::vector<Input>& inputs);

}  // namespace shimwise
