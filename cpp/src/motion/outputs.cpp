#include "shimwise/motion/outputs.hpp"

namespace shimwise {

std::string column_name(const OutputInfo& info) {
    std::string name(info.name);
    for (const char c : "_" + std::string(info.unit)) c == '/' ? name += "_per_" : name += c;
    const auto extra = name.find("_1_per_");  // of a unit 1/mm
    if (extra != std::string::npos) name.erase(extra, 2);
    return info.unit.empty() ? std::string(info.name) : name;
}

std::vector<std::string> column_names() {
    std::vector<std::string> names;
    for (const OutputInfo& info : output_list) names.push_back(column_name(info));
    return names;
}

}  // namespace shimwise
