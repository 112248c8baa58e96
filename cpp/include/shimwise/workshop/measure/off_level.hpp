// What pads that are off level do to camber gauges and scales.
#pragma once

#include <array>
#include <string>

#include "shimwise/workshop/measure/level.hpp"

namespace shimwise {

/// By how much the instruments at the four wheels show otherwise than on level pads.
struct ShownOffLevel {
    std::array<double, corner_count> gauge_deg{};  // inclination to plumb
    std::array<double, corner_count> scale_kg{};   // 0 on solid struts, where scales tell nothing
};

struct OffLevel {
    ShownOffLevel tilt, twist;                    // the car come to rest on pads that are only tilted, only twisted
    ShownOffLevel tilt_by_rates, twist_by_rates;  // the derivatives on level pads (effects, rows "pad.") times heights
    bool scales_tell = true;
    std::string why_not;  // why the car does not stand by the model: then all is 0
};

/// What these pads are off the best plane through them, where the wheels stand as in `level`.
std::array<double, corner_count> off_plane_mm(const Level& level, const std::array<double, corner_count>& pads_mm);

/// Of the car as it stood when it was read, with its bars, ballast and struts.
OffLevel off_level(const Measured& measured, const Car& car, const Level& level,
                   const std::array<double, corner_count>& pads_mm);

}  // namespace shimwise
