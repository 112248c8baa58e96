#include "shimwise/rest/values.hpp"

#include "shimwise/rest/model.hpp"

namespace shimwise {
namespace {

/// A bar or third element that is not coupled is no part of the car as it rests.
bool has(const RestModel& m, const ValueInfo& info) {
    switch (info.needs) {
        case ValueNeeds::twist:
            return m.twists();
        case ValueNeeds::rake:
            return !m.rake.empty();
        case ValueNeeds::bar:
            return m.riders[2 * *info.axle].has_bar;
        case ValueNeeds::third:
            return m.riders[2 * *info.axle].has_third;
        default:
            return true;
    }
}

}  // namespace

std::vector<ValueId> rest_outputs(const RestModel& m) {
    std::vector<ValueId> all;
    for (std::size_t i = 0; i < at_rest_count; ++i)
        if (has(m, car_output_list[i])) all.emplace_back(static_cast<CarOutput>(i));
    for (std::size_t i = 0; i < m.car.ride_heights.size(); ++i) all.push_back(ValueId::ride_height(m.car, i));
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto corner = static_cast<CornerId>(c);
        for (std::size_t i = 0; i < corner_load_count; ++i) all.emplace_back(corner, static_cast<CornerLoad>(i));
        for (std::size_t i = 0; i < output_count; ++i) all.emplace_back(corner, static_cast<Output>(i));
    }
    return all;
}

std::vector<double> row(const RestValues<double>& values, const std::vector<ValueId>& outputs) {
    std::vector<double> all;
    for (const ValueId& id : outputs) all.push_back(value(values, id));
    return all;
}

}  // namespace shimwise
