#include "shimwise/workshop/files/inputs.hpp"

#include <algorithm>
#include <filesystem>

namespace shimwise {

Input input_of(const Car& car) { return {"car", car.file, car.origin}; }
Input input_of(const Settings& settings) { return {"settings", settings.file, settings.origin}; }
Input input_of(const Readings& readings) { return {"readings", readings.file, readings.origin}; }
Input input_of(const Targets& targets) { return {"targets", targets.file, targets.origin}; }
Input input_of(const Skid& skid) { return {"skid", skid.file, skid.origin}; }
Input input_of(const SweepFile& sweep) { return {"sweep", sweep.file, sweep.origin}; }

std::vector<std::string> input_names(const std::vector<Input>& inputs) {
    const auto file_name = [](const Input& input) { return std::filesystem::path(input.file).filename().string(); };
    const auto alone = [&](const auto& name_of, const Input& input) {
        return std::count_if(inputs.begin(), inputs.end(),
                             [&](const Input& other) { return name_of(other) == name_of(input); }) == 1;
    };
    const auto path = [](const Input& input) { return input.file; };
    std::vector<std::string> names;
    for (const Input& input : inputs) {
        if (alone(file_name, input))
            names.push_back(file_name(input));
        else
            names.push_back(alone(path, input) ? input.file : input.role + " " + input.file);
    }
    return names;
}

}  // namespace shimwise
