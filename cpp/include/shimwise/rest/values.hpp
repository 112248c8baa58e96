// The values of a car at rest.
#pragma once

#include <array>
#include <vector>

#include "shimwise/model/value_id.hpp"
#include "shimwise/motion/outputs.hpp"

namespace shimwise {

struct RestModel;

/// In the ground's frame: z along the normal of the best plane through the four pads, x the chassis' x laid onto it.
template <class T>
struct RestValues {
    std::array<T, at_rest_count> car{};  // 0 where the car has no such thing
    std::array<Outputs<T>, corner_count> corners{};
    std::array<std::array<T, corner_load_count>, corner_count> loads{};
    std::vector<T> ride_heights_mm;  // in the car's order, perpendicular to the ground plane

    const T& at(CarOutput o) const { return car[index(o)]; }
    const T& at(CornerId c, Output o) const { return corners[index(c)][index(o)]; }
    const T& at(CornerId c, CornerLoad o) const { return loads[index(c)][index(o)]; }
};

/// All that this car has, in the order of the lists: the car, its ride heights, then corner by corner.
std::vector<ValueId> rest_outputs(const RestModel& model);

/// Of the car's values beyond `at_rest_count` those that are sums over the wheels.
template <class T>
T value(const RestValues<T>& values, const ValueId& id) {
    switch (id.of) {
        case ValueId::Of::car: {
            if (id.index < at_rest_count) return values.car[id.index];
            const ValueInfo& sum = car_output_list[id.index];
            return sum_over_wheels(sum, [&](std::size_t c) { return values.corners[c][index(sum.sum_of)]; });
        }
        case ValueId::Of::corner:
            return values.corners[id.corner][id.index];
        case ValueId::Of::load:
            return values.loads[id.corner][id.index];
        default:
            return values.ride_heights_mm[id.index];
    }
}

/// These values, in order.
std::vector<double> row(const RestValues<double>& values, const std::vector<ValueId>& outputs);

}  // namespace shimwise
