// settings -> parts -> the constants that position reads.
#pragma once

#include <array>
#include <memory>

#include "shimwise/math/circle.hpp"
#include "shimwise/motion/geometry.hpp"

namespace shimwise {

/// The parts of a corner as set: each point in the drawn frame of the body that carries it, and the links' lengths.
/// Affine in the adjusters' amounts: drawn + sum of amount times change; the rack's travel is one more.
template <class T>
struct Parts {
    std::array<Vec3<T>, point_count> points;
    std::array<T, length_count> lengths;

    const Vec3<T>& at(Point p) const { return points[index(p)]; }
    const T& at(Length l) const { return lengths[index(l)]; }
};

namespace detail {

/// Most directions lie along an axis: the other coordinates then cost nothing.
template <class T>
void move(Vec3<T>& point, const T& amount, const Vec3<double>& per_mm) {
    if (per_mm.x != 0.0) point.x = point.x + amount * per_mm.x;
    if (per_mm.y != 0.0) point.y = point.y + amount * per_mm.y;
    if (per_mm.z != 0.0) point.z = point.z + amount * per_mm.z;
}

}  // namespace detail

template <class T>
Parts<T> parts(const Geometry& g, const T* amounts_mm, const T& rack_mm) {
    Parts<T> p;
    for (std::size_t i = 0; i < point_count; ++i) std::construct_at(&p.points[i], g.points[i]);  // in place: no copy
    for (std::size_t i = 0; i < length_count; ++i) p.lengths[i] = T(g.lengths[i]);
    for (const FlatChange *c = g.changes.data(), *end = c + g.changes.size(); c != end; ++c) {
        const T& amount = amounts_mm[c->adjuster];
        if (c->point >= 0) {
            detail::move(p.points[static_cast<std::size_t>(c->point)], amount, c->per_mm);
        } else {
            T& length = p.lengths[static_cast<std::size_t>(c->length)];
            length = length + amount * c->per_mm.x;
        }
    }
    detail::move(p.points[index(Point::track_rod_inner)], rack_mm, g.rack_direction);
    return p;
}

/// Constants of a corner with given parts. Coordinates "on" a body are along (axis, arm, axis x arm) of its circle.
template <class T>
struct Linkage {
    Vec3<T> lower_centre, lower_axis, lower_out,
        lower_up;                  // lower outer joint = centre + out cos + up sin of the arm's angle
    Circle<T> upper;               // of the upper outer joint
    T upright2, upright_inverse;   // distance of the outer joints, squared; 1 / distance
    T steer_along, steer_radius2;  // track rod's outer joint about the steering axis
    Vec3<T> track_rod_inner;
    T track_rod2;
    Vec3<T> wheel_centre_on_upright, wheel_axis_on_upright;
    Vec3<T> strut_on_carrier;  // pushrod.outer, or spring.outer without rocker
    Circle<T, double> rocker;
    T pushrod2;
    Vec3<T> spring_on_rocker;
    Vec3<T> spring_chassis;
    const Geometry* geometry = nullptr;
};

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

/// Coordinates along (axis, arm, axis x arm), where |axis| = 1 and arm has length^2 = 1 / arm2_inverse.
template <class T, class V, class A>
Vec3<T> coordinates(const Vec3<V>& v, const Vec3<A>& axis, const Vec3<T>& arm, const Vec3<T>& side,
                    const T& arm2_inverse) {
    return {dot(v, axis), dot(v, arm) * arm2_inverse, dot(v, side) * arm2_inverse};
}

/// A body in its drawn frame, as set: unit axis, arm across it, and axis x arm.
template <class T, class A = T>
struct DrawnBody {
    Vec3<T> origin;
    Vec3<A> axis;
    Vec3<T> arm, side;
    T arm2_inverse;

    Vec3<T> coordinates_of(const Vec3<T>& at) const { return coordinates(at - origin, axis, arm, side, arm2_inverse); }
};

/// Its arm leads from the rocker's axis to pushrod.inner, its origin is the foot of that arm.
template <class T>
DrawnBody<T, double> drawn_rocker(const Geometry& g, const Parts<T>& p) {
    const Vec3<T> inner = p.at(Point::pushrod_inner) - g.rocker_base;
    const Vec3<T> foot = g.rocker_axis * dot(inner, g.rocker_axis);
    const Vec3<T> arm = inner - foot;
    return {foot + g.rocker_base, g.rocker_axis, arm, cross(g.rocker_axis, arm), T(1.0 / squared(arm))};
}

/// Its arm leads from the steering axis to track_rod.outer, its origin is the lower outer joint.
template <class T>
DrawnBody<T> drawn_upright(const Parts<T>& p) {
    const Vec3<T>& lower_outer = p.at(Point::lower_wishbone_outer);
    const Vec3<T> between = p.at(Point::upper_wishbone_outer) - lower_outer;
    const Vec3<T> axis = between * (1.0 / sqrt(squared(between)));
    const Vec3<T> steer = p.at(Point::track_rod_outer) - lower_outer;
    const Vec3<T> arm = steer - axis * dot(steer, axis);
    return {lower_outer, axis, arm, cross(axis, arm), T(1.0 / squared(arm))};
}

/// What a wishbone carries: its outer joint's frame, along (axis, arm, axis x arm), where the arm has this radius^2.
template <class T>
Vec3<T> on_wishbone(const Vec3<double>& in_joint_frame, const T& radius2) {
    const T inverse = 1.0 / sqrt(radius2);
    return {T(in_joint_frame.x), inverse * in_joint_frame.y, inverse * in_joint_frame.z};
}

}  // namespace detail

template <class T>
Linkage<T> linkage(const Geometry& g, const Parts<T>& p) {
    Linkage<T> l;
    l.geometry = &g;

    const Circle<T> lower =
        detail::wishbone(p.at(Point::lower_wishbone_front), p.at(Point::lower_wishbone_rear),
                         p.at(Length::lower_wishbone_front_leg), p.at(Length::lower_wishbone_rear_leg));
    l.lower_centre = lower.centre;
    l.lower_axis = lower.axis;
    const Vec3<T> out = g.lower_radial - lower.axis * dot(lower.axis, g.lower_radial);
    l.lower_out = out * sqrt(lower.radius2 / squared(out));
    l.lower_up = cross(lower.axis, l.lower_out);

    l.upper = detail::wishbone(p.at(Point::upper_wishbone_front), p.at(Point::upper_wishbone_rear),
                               p.at(Length::upper_wishbone_front_leg), p.at(Length::upper_wishbone_rear_leg));

    const Vec3<T>& lower_outer = p.at(Point::lower_wishbone_outer);
    const Vec3<T> between = p.at(Point::upper_wishbone_outer) - lower_outer;
    l.upright2 = squared(between);
    l.upright_inverse = 1.0 / sqrt(l.upright2);
    const Vec3<T> axis = between * l.upright_inverse;
    const Vec3<T> steer = p.at(Point::track_rod_outer) - lower_outer;
    l.steer_along = dot(steer, axis);
    const Vec3<T> arm = steer - axis * l.steer_along;
    l.steer_radius2 = squared(arm);
    const T arm2_inverse = 1.0 / l.steer_radius2;
    const Vec3<T> side = cross(axis, arm);
    l.track_rod_inner = p.at(Point::track_rod_inner);
    l.track_rod2 = square(p.at(Length::track_rod));
    l.wheel_centre_on_upright =
        detail::coordinates(p.at(Point::wheel_centre) - lower_outer, axis, arm, side, arm2_inverse);
    l.wheel_axis_on_upright = detail::coordinates(g.wheel_axis, axis, arm, side, arm2_inverse);

    if (g.strut_on == Body::upright) {
        const Vec3<T>& strut = p.points[static_cast<std::size_t>(g.strut_point)];
        l.strut_on_carrier = detail::coordinates(strut - lower_outer, axis, arm, side, arm2_inverse);
    } else {
        l.strut_on_carrier = detail::on_wishbone(g.strut_in_wishbone,
                                                 g.strut_on == Body::lower_wishbone ? lower.radius2 : l.upper.radius2);
    }

    l.spring_chassis = p.at(Point::spring_chassis);
    if (g.has_rocker) {
        const detail::DrawnBody<T, double> rocker = detail::drawn_rocker(g, p);
        const Vec3<T> moved = p.at(Point::rocker_axis_point) - g.rocker_base;
        l.rocker = {rocker.origin + moved, g.rocker_axis, squared(rocker.arm)};
        l.pushrod2 = square(p.at(Length::pushrod));
        l.spring_on_rocker = rocker.coordinates_of(p.at(Point::rocker_spring));
    }
    return l;
}

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
