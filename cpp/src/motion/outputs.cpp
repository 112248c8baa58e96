#include "shimwise/motion/outputs.hpp"

namespace shimwise {

std::string column_name(const OutputInfo& info) {
    std::string name(info.name);
    if (info.unit == "1/mm") return name + "_per_mm";
    if (info.unit.empty()) return name;
    name += '_';
    for (const char c : info.unit) {
        if (c == '/')
            name += "_per_";
        else
            name += c;
    }
    return name;
}

std::vector<std::string> column_names() {
    std::vector<std::string> names;
    for (const OutputInfo& info : output_list) names.push_back(column_name(info));
    return names;
}

}  // namespace shimwise
