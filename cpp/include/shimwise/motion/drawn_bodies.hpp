// Coordinates on the bodies of a corner, from their drawn frames.
#pragma once

#include "shimwise/math/circle.hpp"
#include "shimwise/motion/parts.hpp"

namespace shimwise {

namespace detail {

/// Circle of the joint held by two legs: foot of the joint on the pickup axis at x from the front pickup,
/// x = (front^2 - rear^2 + d^2) / (2 d), radius^2 = front^2 - x^2.
template <class T>
Circle<T> wishbone(const Vec3<T>& front, const Vec3<T>& rear, const T& front_leg, const T& rear_leg) {
    const Vec3<T> span = rear - front;
    const T d2 = squared(span);
    const T d_inverse = 1.0 / sqrt(d2);
    const Vec3<T> axis = span * d_inverse;
    const T front2 = square(front_leg);
    const T x = (front2 - square(rear_leg) + d2) * (0.5 * d_inverse);
    return {front + axis * x, axis, front2 - square(x)};
}

/// Coordinates along (axis, radius, axis x radius), where |axis| = 1 and radius has length^2 = 1 / radius2_inverse.
template <class T, class V, class A>
Vec3<T> coordinates(const Vec3<V>& v, const Vec3<A>& axis, const Vec3<T>& radius, const Vec3<T>& side,
                    const T& radius2_inverse) {
    return {dot(v, axis), dot(v, radius) * radius2_inverse, dot(v, side) * radius2_inverse};
}

/// A body in its drawn frame, as set: unit axis, radius across it, and axis x radius.
template <class T, class A = T>
struct DrawnBody {
    Vec3<T> origin;
    Vec3<A> axis;
    Vec3<T> radius, side;
    T radius2_inverse;

    Vec3<T> coordinates_of(const Vec3<T>& at) const {
        return coordinates(at - origin, axis, radius, side, radius2_inverse);
    }
};

/// Its radius leads from the rocker's axis to pushrod.inner, its origin is the foot of that radius.
template <class T, class D>
DrawnBody<T, double> drawn_rocker(const Geometry& g, const Drawing<D>& drawn, const Parts<T>& p) {
    const Vec3<T> inner = p.at(Point::pushrod_inner) - drawn.rocker_base;
    const Vec3<T> foot = g.rocker_axis * dot(inner, g.rocker_axis);
    const Vec3<T> radius = inner - foot;
    return {foot + drawn.rocker_base, g.rocker_axis, radius, cross(g.rocker_axis, radius), T(1.0 / squared(radius))};
}

/// Its radius leads from the steering axis to track_rod.outer, its origin is the lower outer joint.
template <class T>
DrawnBody<T> drawn_upright(const Parts<T>& p) {
    const Vec3<T>& lower_outer = p.at(Point::lower_wishbone_outer);
    const Vec3<T> between = p.at(Point::upper_wishbone_outer) - lower_outer;
    const Vec3<T> axis = between * (1.0 / sqrt(squared(between)));
    const Vec3<T> steer = p.at(Point::track_rod_outer) - lower_outer;
    const Vec3<T> radius = steer - axis * dot(steer, axis);
    return {lower_outer, axis, radius, cross(axis, radius), T(1.0 / squared(radius))};
}

/// What a wishbone carries: its outer joint's frame, along (axis, radius, axis x radius), where the radius has this
/// length^2.
template <class T, class D>
Vec3<T> on_wishbone(const Vec3<D>& in_joint_frame, const T& radius2) {
    const T inverse = 1.0 / sqrt(radius2);
    return {T(in_joint_frame.x), inverse * in_joint_frame.y, inverse * in_joint_frame.z};
}

}  // namespace detail

}  // namespace shimwise
