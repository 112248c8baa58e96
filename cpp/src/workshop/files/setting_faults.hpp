// What is wrong with settings, entry by entry, for files and for what was typed.
#pragma once

#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

/// What is wrong with one entry: in which of the settings file's tables (none: at the top), under which key.
struct SettingFault {
    std::string table;
    std::string key;
    std::string rule;                                 // in the file's words
    std::optional<BrokenLimit> limit = std::nullopt;  // where that is what is wrong
};

/// Puts settings on a car; every fault at once. With faults the car is not to be used.
std::vector<SettingFault> put_settings(Car& car, const Settings& settings);

}  // namespace shimwise
