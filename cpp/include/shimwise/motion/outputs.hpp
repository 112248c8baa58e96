// The third list of names: what a corner's set-up is judged by. Columns of a table, targets, rows of a plan and units
// of a Dataset all loop over it.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "shimwise/math/atan.hpp"
#include "shimwise/motion/position.hpp"

namespace shimwise {

enum class Output {
    toe,
    camber,
    caster,
    kingpin_inclination,
    trail,
    scrub,
    half_track,
    motion_ratio,
    inclination,
    chassis_height,
    spring_length,
    bump_steer,
    camber_gain,
};
inline constexpr std::size_t output_count = 13;

struct OutputInfo {
    std::string_view name;
    std::string_view unit;
    bool depends_on_frame;
    std::string_view sign;
};
inline constexpr std::array<OutputInfo, output_count> output_list = {{
    {"toe", "deg", true, "about the vertical, + = front of the wheel toward the centre line (toe-in)"},
    {"camber", "deg", true, "about the longitudinal axis, + = top outboard"},
    {"caster", "deg", true, "+ = top of the steering axis rearward"},
    {"kingpin_inclination", "deg", true, "+ = top of the steering axis inboard"},
    {"trail", "mm", true, "along x, + = the steering axis meets the ground ahead of the contact centre"},
    {"scrub", "mm", true, "along y, + = contact centre outboard of the steering axis"},
    {"half_track", "mm", true, "contact centre from the centre plane, + = outboard"},
    {"motion_ratio", "", true, "spring movement over wheel movement: -(spring length change)/(contact height change)"},
    {"inclination", "deg", true, "true angle of the wheel plane to the vertical, + = top outboard"},
    {"chassis_height", "mm", true, "chassis origin over the contact, + = up"},
    {"spring_length", "mm", false, "eye to eye"},
    {"bump_steer", "deg/mm", true, "toe per mm of wheel travel, + = toe-in as the wheel rises"},
    {"camber_gain", "deg/mm", true, "camber per mm of wheel travel, + = top outboard as the wheel rises"},
}};

/// "toe_deg", "bump_steer_deg_per_mm", "motion_ratio": the name that carries the unit.
std::string column_name(Output output);

/// Axes of the frame in chassis coordinates (unit, right-handed); the default is the chassis frame.
struct Frame {
    Vec3<double> x = {1.0, 0.0, 0.0};
    Vec3<double> y = {0.0, 1.0, 0.0};
    Vec3<double> z = {0.0, 0.0, 1.0};
};

/// Values by Output, in the unit of the list.
template <class T>
using Outputs = std::array<T, output_count>;

/// ISO 8855:2011, 7.1: toe and camber are projected angles about axes of the frame, the same sense on both sides.
template <class T>
Outputs<T> outputs(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const Frame& f) {
    const double left = l.geometry->left;
    Outputs<T> out;
    const auto set = [&out](Output o, const T& value) { out[index(o)] = value; };

    const T ex = height(p.wheel_axis, f.x);
    const T ey = height(p.wheel_axis, f.y) * left;
    const T ez = height(p.wheel_axis, f.z);
    const T ey_inverse = 1.0 / ey;
    const T toe = ex * ey_inverse;
    const T camber = -(ez * ey_inverse);
    set(Output::toe, atan(toe) * deg_per_rad);
    set(Output::camber, atan(camber) * deg_per_rad);
    set(Output::inclination, atan(-ez / sqrt(square(ex) + square(ey))) * deg_per_rad);

    const T kx = height(p.steering_axis, f.x);
    const T ky = height(p.steering_axis, f.y) * left;
    const T kz_inverse = 1.0 / height(p.steering_axis, f.z);
    const T lean_x = kx * kz_inverse;
    const T lean_y = ky * kz_inverse;
    set(Output::caster, -(atan(lean_x) * deg_per_rad));
    set(Output::kingpin_inclination, -(atan(lean_y) * deg_per_rad));

    const Vec3<T> at = contact(l, p, f.z).at;
    const Vec3<T> from_axis = at - p.lower_outer;
    const T drop = height(from_axis, f.z);
    set(Output::trail, lean_x * drop - height(from_axis, f.x));
    set(Output::scrub, height(from_axis, f.y) * left - lean_y * drop);
    set(Output::half_track, height(at, f.y) * left);
    set(Output::chassis_height, -height(at, f.z));

    const Motion<T> m = null_motion(l, p);
    set(Output::spring_length, s.spring_length);
    set(Output::motion_ratio, -(spring_rate(l, p, s, m) / height(velocity(p, m, at), f.z)));

    const Vec3<T> axis_rate = cross(m.turn, p.wheel_axis);
    const T ex_rate = height(axis_rate, f.x);
    const T ey_rate = height(axis_rate, f.y) * left;
    const T ez_rate = height(axis_rate, f.z);
    const T scale = ey_inverse * deg_per_rad / velocity(p, m, p.wheel_centre).z;
    set(Output::bump_steer, (ex_rate - toe * ey_rate) * scale / (square(toe) + 1.0));
    set(Output::camber_gain, (-ez_rate - camber * ey_rate) * scale / (square(camber) + 1.0));
    return out;
}

}  // namespace shimwise
