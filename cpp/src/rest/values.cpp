#include "shimwise/rest/values.hpp"

#include "shimwise/rest/model.hpp"

namespace shimwise {
namespace {

bool has(const RestModel& m, CarOutput output) {
    switch (output) {
        case CarOutput::twist:
            return m.twists();
        case CarOutput::rake:
        case CarOutput::rake_angle:
            return !m.rake.empty();
        case CarOutput::front_bar_torque:
        case CarOutput::rear_bar_torque:
            return m.riders[output == CarOutput::front_bar_torque ? 0 : 2].has_bar;
        case CarOutput::front_third_load:
        case CarOutput::rear_third_load:
            return m.riders[output == CarOutput::front_third_load ? 0 : 2].has_third;
        default:
            return true;
    }
}

}  // namespace

std::vector<RestOutput> rest_outputs(const RestModel& m) {
    using Of = RestOutput::Of;
    std::vector<RestOutput> all;
    const auto add = [&all](const std::string& before, const OutputInfo& info, Of of, std::size_t i, std::size_t c) {
        all.push_back({before + column_name(info), std::string(info.unit), std::string(info.sign), of, i, c});
    };
    for (std::size_t i = 0; i < car_output_count; ++i)
        if (has(m, static_cast<CarOutput>(i))) add("", car_output_list[i], Of::car, i, 0);
    for (std::size_t i = 0; i < m.car.ride_heights.size(); ++i)
        all.push_back({"ride_height." + m.car.ride_heights[i].name + "_mm", "mm",
                       "perpendicular to the ground plane, + = up", Of::ride_height, i, 0});
    for (std::size_t c = 0; c < corner_count; ++c) {
        const std::string corner = std::string(corner_names[c]) + ".";
        for (std::size_t i = 0; i < corner_load_count; ++i) add(corner, corner_load_list[i], Of::load, i, c);
        for (std::size_t i = 0; i < output_count; ++i) add(corner, output_list[i], Of::corner, i, c);
    }
    return all;
}

std::vector<double> row(const RestValues<double>& values, const std::vector<RestOutput>& outputs) {
    std::vector<double> all;
    for (const RestOutput& o : outputs) all.push_back(value(values, o));
    return all;
}

}  // namespace shimwise
