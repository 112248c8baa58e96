// A morning with few enough settings that a plan can be made again by other means.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>

#include "shimwise/motion/rates.hpp"
#include "shimwise/workshop/choose/plan.hpp"
#include "workshop/morning.hpp"

namespace shimwise {

inline constexpr std::array<CornerId, 4> all_corners = {CornerId::front_left, CornerId::front_right,
                                                        CornerId::rear_left, CornerId::rear_right};

/// Few enough settings that everything can be tried again by other means.
inline Morning small_morning() {
    Morning m = wren_morning();
    for (const CornerId id : all_corners) {
        m.thread(id, is_front(id) ? "track rod" : "toe link").limits_turns = {-0.5, 0.5};
        m.stack(id, "camber shim").fitted_mm = {2.0, 1.0};
    }
    m.car.boxes_mm["front"] = {0.2, 0.5};
    m.car.boxes_mm["rear"] = {0.5, 1.0};
    for (CornerReadings& corner : m.readings.corners) corner.shims_mm.clear();
    return m;
}

/// Flags and camber off by a few steps, the same for every machine.
inline void scatter(Morning& m, std::mt19937& random) {
    for (CornerReadings& corner : m.readings.corners) {
        const auto steps = [&random](int most) {
            return static_cast<int>(random() % (2U * static_cast<unsigned>(most) + 1U)) - most;
        };
        corner.flags_mm = Flags{41.0 + 0.2 * steps(15), 40.0};
        corner.camber_deg->facing += 0.02 * steps(12);
    }
}

/// What a corner reads with other settings, by the whole model: measured + (after - before).
struct Again {
    double toe, camber, caster;
};
inline Again again(const Morning& m, const Measured& measured, CornerId id, const Corner& after) {
    const Hold hold = measured.ground.hold();
    const double value = measured.ground.held_value();
    const Outputs<double> was = outputs_at(setup(m.car[id]), hold, value, measured.ground.frame);
    const Outputs<double> is = outputs_at(setup(after), hold, value, measured.ground.frame);
    const std::string corner(corner_names[index(id)]);
    const auto at = [&](Output o, const char* name) {
        const double change = is[index(o)] - was[index(o)];
        return measured.value(corner + "." + name).value_or(was[index(o)]) + change;
    };
    return {at(Output::toe, "toe"), at(Output::camber, "camber"), at(Output::caster, "caster")};
}

inline double setting_of(const CornerPlan& corner, const std::string& ending) {
    for (const PlannedSetting& setting : corner.settings)
        if (setting.key.ends_with(ending)) return setting.after;
    return std::nan("");
}

inline const PlannedOutput& output_of(const CornerPlan& corner, const std::string& ending) {
    return *std::find_if(corner.outputs.begin(), corner.outputs.end(),
                         [&](const PlannedOutput& o) { return key(o.id).ends_with(ending); });
}

}  // namespace shimwise
