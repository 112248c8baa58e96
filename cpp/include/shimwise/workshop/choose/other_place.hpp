// The same car at another place: what its instruments will show on these pads, from what they showed on those.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/choose/predict.hpp"

namespace shimwise {

/// What a camber gauge shows at a wheel, held as it was: inclination to plumb with its zero error.
struct GaugeHere {
    double there_deg = 0.0;
    double here_deg = 0.0;
    double deviation_deg = 0.0;  // of the reading here
};

struct OtherPlace {
    /// Every value that was read there and that the model has: `now` there, `then` here; toe and camber in the frame of
    /// the ground of each place, heights over its best plane.
    std::vector<CarValue> values;
    std::array<std::optional<GaugeHere>, corner_count> gauges;
};

/// here = measured there + (model on the pads here - model on the pads there), both at rest, set and loaded as the car
/// was read there. A reading here scatters about it by what comes anew with both readings, and by what the pads of both
/// places may be off. Throws InputError where the pads of a place were not read, OutOfReach where the car cannot stand.
OtherPlace expect_here(const Measured& here, const Measured& there, const Car& car);

}  // namespace shimwise
