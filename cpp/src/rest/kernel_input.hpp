// What the kernels read of a corner of the whole car.
#pragma once

#include <algorithm>

#include "rest/kernel.hpp"
#include "shimwise/rest/model.hpp"

namespace shimwise {

/// Derivatives for the adjusters from `first` on. A corner without that many gets none.
inline RestInput rest_input(const RestModel& m, std::size_t c, double half_tan, std::size_t first) {
    const Setup& setup = m.setups[c];
    const std::size_t count = setup.amounts_mm.size();
    return {.geometry = &setup.geometry,
            .riders = &m.riders[c],
            .amounts_mm = setup.amounts_mm.data(),
            .adjuster_count = static_cast<int>(count),
            .first_adjuster = static_cast<int>(std::min(first, count)),
            .rack_mm = setup.rack_mm,
            .half_tan = half_tan,
            .plumb = {0.0, 0.0, 1.0},
            .normal = {0.0, 0.0, 1.0}};
}

}  // namespace shimwise
