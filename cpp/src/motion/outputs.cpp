#include "shimwise/motion/outputs.hpp"

namespace shimwise {

std::string column_name(Output output) {
    const OutputInfo& info = output_list[index(output)];
    std::string name(info.name);
    if (info.unit == "deg/mm") return name + "_deg_per_mm";
    if (!info.unit.empty()) name += "_" + std::string(info.unit);
    return name;
}

}  // namespace shimwise
