// Where the setup wheel stands on a ground.
#pragma once

#include "shimwise/motion/pose.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {

/// Whether a unit `up` is the chassis' own z; one with derivatives is never taken as such.
[[gnu::always_inline]] inline bool along_z(const Vec3<double>& up) { return up.x == 0.0 && up.y == 0.0 && up.z > 0.0; }
template <class U>
[[gnu::always_inline]] inline bool along_z(const Vec3<U>&) {
    return false;
}

/// v . up for a unit `up`; over a level ground it costs nothing.
template <class T, class U = double>
T along(const Vec3<T>& v, const Vec3<U>& up) {
    return along_z(up) ? v.z : dot(v, up);
}

/// How the setup wheel stands along a unit `up`, and which edge of its disc is the lowest: the middle within
/// `tolerances::upright_deg` of upright.
template <class T>
struct Stance {
    T lean;      // up . wheel axis
    T upright;   // its cosine
    T outboard;  // the lowest circle of the rim, from the wheel centre
};

template <class T, class U = double>
Stance<T> stance(const Geometry& g, const Vec3<T>& wheel_axis, const Vec3<U>& up) {
    const T lean = along(wheel_axis, up);
    const T edge = select(magnitude(lean) < tolerances::upright_sine, T(0.0),
                          select(lean > 0.0, T(-g.half_width_mm), T(g.half_width_mm)));
    return {lean, sqrt(1.0 - square(lean)), edge + g.offset_mm};
}

template <class T, class U = double>
Stance<T> stance(const Linkage<T>& l, const Pose<T>& p, const Vec3<U>& up) {
    return stance(*l.geometry, p.wheel_axis, up);
}

/// Lowest point of the setup wheel's rim.
template <class T, class U = double>
Vec3<T> contact(const Linkage<T>& l, const Pose<T>& p, const Vec3<U>& up) {
    const Stance<T> s = stance(l, p, up);
    const Vec3<T> across = up - p.wheel_axis * s.lean;
    return p.wheel_centre + p.wheel_axis * s.outboard - across * (l.geometry->wheel_radius_mm / s.upright);
}

/// Its height along `up`.
template <class T, class U = double>
T contact_height(const Geometry& g, const Vec3<T>& wheel_centre, const Stance<T>& s, const Vec3<U>& up) {
    return along(wheel_centre, up) + s.lean * s.outboard - s.upright * g.wheel_radius_mm;
}

}  // namespace shimwise
