// What the kernels read of a corner of the whole car.
#pragma once

#include <algorithm>
#include <optional>

#include "rest/kernel.hpp"
#include "shimwise/rest/rates.hpp"

namespace shimwise {

/// What a corner's numbers have derivatives by: its adjusters, then the rack that moves it.
inline std::size_t settings_of(const RestModel& m, std::size_t c) {
    return m.setups[c].amounts_mm.size() + (m.on_rack(c) ? 1 : 0);
}

/// Which of these a variable of the car is, or nothing.
inline std::optional<std::size_t> setting_of(const RestModel& m, const RestVariable& v, std::size_t c) {
    if (v.of == RestVariable::Of::adjuster && v.corner == c) return v.index;
    if (v.of == RestVariable::Of::rack && m.on_rack(c)) return m.setups[c].amounts_mm.size();
    return std::nullopt;
}

/// Derivatives for the settings from `first` on. A corner without that many gets none.
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
