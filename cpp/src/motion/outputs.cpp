#include "shimwise/motion/outputs.hpp"

namespace shimwise {

std::string column_name(Output output) {
    const OutputInfo& info = output_list[index(output)];
    std::string name(info.name);
    if (info.unit == "deg/mm") return name + "_deg_per_mm";
    if (!info.unit.empty()) name += "_" + std::string(info.unit);
    return name;
}

std::vector<std::string> column_names() {
    std::vector<std::string> names;
    for (std::size_t o = 0; o < output_count; ++o) names.push_back(column_name(static_cast<Output>(o)));
    return names;
}

}  // namespace shimwise
