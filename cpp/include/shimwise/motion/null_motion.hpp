// The one freedom left to a pose, and what it moves.
#pragma once

#include "shimwise/motion/contact.hpp"
#include "shimwise/motion/strut.hpp"

namespace shimwise {

/// The one freedom left: velocities per radian of the lower wishbone's angle.
template <class T>
struct Motion {
    T upper;       // angle of the upper wishbone
    Vec3<T> turn;  // angular velocity of the upright
};

/// From |upright| and |track rod| kept: with u = upper outer joint's velocity per radian of its wishbone, s the
/// steering axis, upper = s . v_lower / s . u; the turn is s x (v_upper - v_lower) / |upright| plus what the track rod
/// asks about s.
template <class T>
Motion<T> null_motion(const Linkage<T>& l, const Pose<T>& p) {
    Motion<T> m;
    m.upper = dot(p.steering_axis, p.lower_side) / dot(p.steering_axis, p.upper_side);
    const Vec3<T> across = cross(p.steering_axis, p.upper_side * m.upper - p.lower_side) * l.upright_inverse;
    const Vec3<T> outer = p.steering_axis * l.steer_along + p.steering_radius;
    const Vec3<T> rod = p.lower_outer + outer - l.track_rod_inner;
    const T about = dot(rod, p.lower_side + cross(across, outer)) / dot(rod, p.steering_side);
    m.turn = across - p.steering_axis * about;
    return m;
}

/// Velocity of a point of the upright.
template <class T>
Vec3<T> velocity(const Pose<T>& p, const Motion<T>& m, const Vec3<T>& at) {
    return p.lower_side + cross(m.turn, at - p.lower_outer);
}

/// Its z.
template <class T>
T rise(const Pose<T>& p, const Motion<T>& m, const Vec3<T>& at) {
    return p.lower_side.z + (m.turn.x * (at.y - p.lower_outer.y) - m.turn.y * (at.x - p.lower_outer.x));
}

/// Its part along `up`.
template <class T, class U = double>
T climb(const Pose<T>& p, const Motion<T>& m, const Vec3<T>& at, const Vec3<U>& up) {
    if (along_z(up)) return rise(p, m, at);
    return dot(p.lower_side, up) + dot(m.turn, cross(at - p.lower_outer, up));
}

/// Velocity, per radian of its wishbone, of a point at `c` in a wishbone's outer joint's frame.
template <class T>
Vec3<T> velocity_on_wishbone(const Vec3<T>& c, const Vec3<T>& radius, const Vec3<T>& side) {
    return side + side * c.y - radius * c.z;
}

/// Spring lengthening per radian of the lower wishbone's angle: through carrier, pushrod and rocker.
template <class T>
T spring_rate(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const Motion<T>& m) {
    Vec3<T> outer;
    switch (l.geometry->strut_on) {
        case Body::lower_wishbone:
            outer = velocity_on_wishbone(l.strut_on_carrier, p.lower_radius, p.lower_side);
            break;
        case Body::upper_wishbone:
            outer = velocity_on_wishbone(l.strut_on_carrier, p.upper_radius, p.upper_side) * m.upper;
            break;
        default:
            outer = velocity(p, m, s.outer);
            break;
    }
    const Vec3<T> strut = s.spring - l.spring_chassis;
    if (!l.geometry->has_rocker) return dot(strut, outer) / s.spring_length;
    const Vec3<T> pushrod = l.rocker.centre + s.rocker_radius - s.outer;
    const Vec3<T> eye = s.rocker_side * l.spring_on_rocker.y - s.rocker_radius * l.spring_on_rocker.z;
    return dot(pushrod, outer) * dot(strut, eye) / (dot(pushrod, s.rocker_side) * s.spring_length);
}

}  // namespace shimwise
