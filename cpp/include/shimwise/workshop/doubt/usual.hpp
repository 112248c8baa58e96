// What the numbers of a car, a clipboard and a targets file usually are. Each row stands once; `check`, `try` and
// `plan` ask the same ones. Ranges of the trade: common practice, no source; pitches of threads by ISO 261 and ASME
// B1.1.
#pragma once

#include <array>
#include <string_view>

namespace shimwise {

enum class UsualOf {
    // of a car file
    wheelbase,
    track,
    total_mass,
    front_share,
    cg_off_centre,
    cg_height,
    unsprung_mass,
    ballast_place,
    wheel_radius,
    wheel_width,
    wheel_offset,
    flag_span,
    tyre_radius,
    tyre_rate,
    drawn_toe,
    drawn_camber,
    caster,
    kingpin,
    trail,
    scrub,
    motion_ratio,
    rod_end,
    rod_to_rocker,
    spring_to_rocker,
    rocker_side,
    wheel_rate,
    frequency,
    spring_rate,
    damper_stroke,
    rubber_gap,
    rest_travel,
    floor_height,
    pitch,
    pitch_off_standard,
    pitch_to_coarse,
    turned_from_drawn,
    turns_limit,
    engaged,
    pack_from_drawn,
    shim,
    shim_error,
    away_from_body,
    purpose_effect,
    minutes,
    rack_travel,
    rack_per_turn,
    bars_to_wheelbase,
    bar_rate,
    flag_resolution,
    gauge_resolution,
    gauge_zero,
    height_resolution,
    scale_resolution,
    settling_kg,
    settling_mm,
    settling_deg,
    // of readings
    toe_from_model,
    camber_from_model,
    height_from_model,
    weight_to_model,
    total_from_scales,
    heights_plane,
    height_repeats,
    flag_repeats,
    camber_repeats,
    scale_repeats,
    gauge_repeats,
    flag_reading,
    string_skew,
    string_off_centre,
    pad_off_mean,
    gauge_zero_today,
    gauge_drift,
    rod_from_settings,
    // of targets
    toe_wanted,
    camber_wanted,
    height_wanted,
    weight_wanted,
    share_wanted,
    caster_wanted,
    spring_wanted,
    toe_tolerance,
    camber_tolerance,
    height_tolerance,
    weight_tolerance,
    share_tolerance,
};

/// "{what} is 7.65 deg, usually -1 to 1 deg: {matters}"
struct Usual {
    UsualOf of;
    std::string_view what;
    double least, most;
    std::string_view unit;     // empty: a ratio or a count
    std::string_view matters;  // why it is worth a look
};

inline constexpr std::size_t usual_count = static_cast<std::size_t>(UsualOf::share_tolerance) + 1;
extern const std::array<Usual, usual_count> usual_list;  // in the order of UsualOf

}  // namespace shimwise
