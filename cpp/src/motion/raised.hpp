// A linkage found in one scalar, for use in another.
#pragma once

#include "shimwise/motion/linkage.hpp"

namespace shimwise {

/// The same linkage in a scalar with more derivatives, all of those 0.
template <class T, class U>
Linkage<T> raised(const Linkage<U>& l) {
    const auto number = [](const U& x) __attribute__((always_inline)) { return T(x); };
    const auto vector = [](const Vec3<U>& v) __attribute__((always_inline)) { return Vec3<T>(v); };
    Linkage<T> k;
    k.lower_centre = vector(l.lower_centre);
    k.lower_axis = vector(l.lower_axis);
    k.lower_out = vector(l.lower_out);
    k.lower_up = vector(l.lower_up);
    k.upper = {vector(l.upper.centre), vector(l.upper.axis), number(l.upper.radius2)};
    k.upright2 = number(l.upright2);
    k.upright_inverse = number(l.upright_inverse);
    k.steer_along = number(l.steer_along);
    k.steer_radius2 = number(l.steer_radius2);
    k.track_rod_inner = vector(l.track_rod_inner);
    k.track_rod2 = number(l.track_rod2);
    k.wheel_centre_on_upright = vector(l.wheel_centre_on_upright);
    k.wheel_axis_on_upright = vector(l.wheel_axis_on_upright);
    k.strut_on_carrier = vector(l.strut_on_carrier);
    if (l.geometry->has_rocker) {
        k.rocker = {vector(l.rocker.centre), l.rocker.axis, number(l.rocker.radius2)};
        k.pushrod2 = number(l.pushrod2);
        k.spring_on_rocker = vector(l.spring_on_rocker);
    }
    k.spring_chassis = vector(l.spring_chassis);
    k.geometry = l.geometry;
    return k;
}

}  // namespace shimwise
