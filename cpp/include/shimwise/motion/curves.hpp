// A corner over travel and rack in full: every output, and what only a whole curve can say.
#pragma once

#include <span>

#include "shimwise/motion/outputs.hpp"

namespace shimwise {

/// What a curve shows beside the outputs of `output_list`. Per mm of travel is per mm of the wheel centre's rise; rates
/// of the spring are per mm of the contact's.
enum class Curve {
    contact_x,
    wheelbase_change,
    roll_centre_height,
    trail_as_it_runs,
    scrub_as_it_runs,
    roll_centre_height_as_it_runs,
    motion_ratio_gain,
    instant_axis_x,
    instant_axis_y,
    instant_axis_z,
    instant_axis_along_x,
    instant_axis_along_y,
    instant_axis_along_z,
    instant_axis_pitch,
    spring_load,
    rubber_load,
    wheel_rate_spring,
    wheel_rate_rubber,
    wheel_rate_load,
    wheel_rate,
};
inline constexpr std::size_t curve_count = 20;

inline constexpr std::array<ValueInfo, curve_count> curve_list = {{
    {"contact_x", "mm", true, "contact centre along x, + = forward; half_track and chassis_height are its y and -z"},
    {"wheelbase_change", "mm", true, "contact against its place at travel and rack 0, + = wheelbase longer"},
    {"roll_centre_height", "mm", true, "over the ground, from the contact's path: half track * d(half track)/d(rise)"},
    {"trail_as_it_runs", "mm", true, "trail on the tyre at its loaded radius"},
    {"scrub_as_it_runs", "mm", true, "scrub on the tyre at its loaded radius"},
    {"roll_centre_height_as_it_runs", "mm", true, "roll centre over the ground, on the tyre at its loaded radius"},
    {"motion_ratio_gain", "1/mm", true, "motion ratio per mm of the contact's rise"},
    {"instant_axis_x", "mm", true,
     "x of the point of the upright's instant axis nearest to the wheel centre; infinite where it only shifts"},
    {"instant_axis_y", "mm", true, "y of the point of the instant axis nearest to the wheel centre, + = left"},
    {"instant_axis_z", "mm", true, "z of the point of the instant axis nearest to the wheel centre, + = up"},
    {"instant_axis_along_x", "", true,
     "unit vector along the axis, right-handed as the wheel rises, x; 0 where there is no axis"},
    {"instant_axis_along_y", "", true, "y of the unit vector along the instant axis, + = left"},
    {"instant_axis_along_z", "", true, "z of the unit vector along the instant axis, + = up"},
    {"instant_axis_pitch", "mm/rad", true, "shift along the axis per radian about it"},
    {"spring_load", "N", false, "through spring and helper, + = it pushes"},
    {"rubber_load", "N", false, "of the bump rubber, + = it pushes"},
    {"wheel_rate_spring", "N/mm", true, "rate of spring and helper * motion ratio^2"},
    {"wheel_rate_rubber", "N/mm", true, "rate of the bump rubber * motion ratio^2"},
    {"wheel_rate_load", "N/mm", true, "load of spring and rubber * motion ratio gain"},
    {"wheel_rate", "N/mm", true, "vertical load at the contact per mm of its rise: the sum of the three"},
}};

/// Why a corner's file does not give what a curve needs (the load of a spring that rests as drawn, a tyre); empty where
/// it does.
std::string_view missing_for(const Corner& corner, Curve curve);

/// Fills block[row][state], chassis frame: the outputs in the order of `output_list`, then the curves in the order of
/// `curve_list`; rows of curves that something is `missing_for` hold NaN. States are given by wheel travel
/// and rack travel. Throws OutOfReach.
void curves(const Corner& corner, std::span<const double> travel_mm, std::span<const double> rack_mm, double* block);

}  // namespace shimwise
