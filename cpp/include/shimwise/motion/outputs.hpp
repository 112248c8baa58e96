// The outputs of a corner at a pose, in a frame: their formulas.
#pragma once

#include <array>

#include "shimwise/math/atan.hpp"
#include "shimwise/model/values.hpp"
#include "shimwise/motion/position.hpp"

namespace shimwise {

/// Axes of the frame in chassis coordinates (unit, right-handed); the default is the chassis frame.
template <class U>
struct Axes {
    Vec3<U> x = {1.0, 0.0, 0.0};
    Vec3<U> y = {0.0, 1.0, 0.0};
    Vec3<U> z = {0.0, 0.0, 1.0};
};
using Frame = Axes<double>;

/// Whether it is another frame than the chassis'; one with derivatives is always taken as such.
[[gnu::always_inline]] inline bool turned(const Frame& f) {
    return !(f.x.x == 1.0 && f.x.y == 0.0 && f.z.x == 0.0 && f.z.y == 0.0 && f.z.z > 0.0);
}
template <class U>
[[gnu::always_inline]] inline bool turned(const Axes<U>&) {
    return true;
}

/// The frame over a ground with this unit normal: x is the chassis' x laid onto it.
template <class U>
Axes<U> frame_over(const Vec3<U>& normal) {
    const Vec3<U> along = Vec3<U>(1.0, 0.0, 0.0) - normal * normal.x;
    const Vec3<U> x = along * (1.0 / sqrt(squared(along)));
    return {x, cross(normal, x), normal};
}

/// Values by Output, in the unit of the list.
template <class T>
using Outputs = std::array<T, output_count>;

/// A vector in a frame, outboard positive on either side.
template <class T, class U = double>
Vec3<T> seen(const Axes<U>& f, double left, const Vec3<T>& v) {
    return turned(f) ? Vec3<T>(dot(v, f.x), dot(v, f.y) * left, dot(v, f.z)) : Vec3<T>(v.x, v.y * left, v.z);
}

template <class T>
struct Alignment {
    T toe_deg, camber_deg;
    T toe_tangent, camber_tangent;
    Vec3<T> axis;  // of the wheel, in the frame
    T outboard_inverse;
};

/// ISO 8855:2011, 7.1: toe and camber are projected angles about axes of the frame, the same sense on both sides.
template <class T, class U = double>
Alignment<T> alignment(const Linkage<T>& l, const Pose<T>& p, const Axes<U>& f) {
    Alignment<T> a;
    a.axis = seen(f, l.geometry->left, p.wheel_axis);
    a.outboard_inverse = 1.0 / a.axis.y;
    a.toe_tangent = a.axis.x * a.outboard_inverse;
    a.camber_tangent = -(a.axis.z * a.outboard_inverse);
    a.toe_deg = atan(a.toe_tangent) * deg_per_rad;
    a.camber_deg = atan(a.camber_tangent) * deg_per_rad;
    return a;
}

/// True angle of a wheel's plane to what is up, + = top outboard, by the rise of its axis along there.
template <class T>
T inclination_deg(const T& axle_rise) {
    return atan(-axle_rise / sqrt(1.0 - square(axle_rise))) * deg_per_rad;
}

/// How far the steering axis leans per mm of its rise, in a frame.
template <class T>
struct AxisLean {
    T x, y;
};

template <class T, class U = double>
AxisLean<T> axis_lean(const Axes<U>& f, double left, const Vec3<T>& steering_axis) {
    const Vec3<T> k = seen(f, left, steering_axis);
    const T rise_inverse = 1.0 / k.z;
    return {k.x * rise_inverse, k.y * rise_inverse};
}

/// What is measured to the contact `at`: trail, scrub, half track and chassis height. Linear in both places.
template <class T, class U = double>
void measure_to(const Vec3<T>& at, const Axes<U>& f, double left, const AxisLean<T>& lean, const Vec3<T>& lower_outer,
                Outputs<T>& out) {
    const Vec3<T> from_axis = seen(f, left, at - lower_outer);
    const Vec3<T> ground = seen(f, left, at);
    out[index(Output::trail)] = lean.x * from_axis.z - from_axis.x;
    out[index(Output::scrub)] = from_axis.y - lean.y * from_axis.z;
    out[index(Output::half_track)] = ground.y;
    out[index(Output::chassis_height)] = -ground.z;
}

/// Every output of the list at a pose; the contact is the lowest point along the frame's z.
template <class T, class U = double>
Outputs<T> outputs(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const Axes<U>& f) {
    const double left = l.geometry->left;
    Outputs<T> out;
    const auto set = [&out](Output o, const T& value) { out[index(o)] = value; };

    const Alignment<T> a = alignment(l, p, f);
    set(Output::toe, a.toe_deg);
    set(Output::camber, a.camber_deg);
    set(Output::inclination, inclination_deg(a.axis.z));

    const AxisLean<T> lean = axis_lean(f, left, p.steering_axis);
    set(Output::caster, -(atan(lean.x) * deg_per_rad));
    set(Output::kingpin_inclination, -(atan(lean.y) * deg_per_rad));

    const Vec3<T> at = contact(l, p, f.z);
    measure_to(at, f, left, lean, p.lower_outer, out);

    const Motion<T> m = null_motion(l, p);
    set(Output::spring_length, s.spring_length);
    set(Output::motion_ratio, -(spring_rate(l, p, s, m) / climb(p, m, at, f.z)));

    const Vec3<T> e_rate = seen(f, left, cross(m.turn, p.wheel_axis));
    const T scale = a.outboard_inverse * deg_per_rad / rise(p, m, p.wheel_centre);
    set(Output::bump_steer, (e_rate.x - a.toe_tangent * e_rate.y) * scale / (square(a.toe_tangent) + 1.0));
    set(Output::camber_gain, (-e_rate.z - a.camber_tangent * e_rate.y) * scale / (square(a.camber_tangent) + 1.0));
    return out;
}

}  // namespace shimwise
