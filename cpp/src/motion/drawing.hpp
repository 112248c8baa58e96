// Measures a corner's drawing; written for every scalar, so that lanes can have points of their own.
#pragma once

#include "shimwise/motion/drawn_bodies.hpp"

namespace shimwise {

template <class T>
[[gnu::always_inline]] inline T& coordinate(Vec3<T>& at, std::size_t axis) {
    return axis == 0 ? at.x : axis == 1 ? at.y : at.z;
}

/// Of a corner: as drawn, and by how much the part is built off it.
template <class T>
struct DrawnPoints {
    std::array<Vec3<T>, point_count> at, built_off;

    const Vec3<T>& operator[](Point p) const { return at[index(p)]; }
};

DrawnPoints<double> drawn_points(const Corner& corner);

/// Which way each loop is drawn: below 0 on the other side.
template <class T>
struct LoopTriples {
    T upper, track_rod, rocker;
};

namespace detail {

template <class T>
T distance(const Vec3<T>& a, const Vec3<T>& b) {
    return sqrt(squared(a - b));
}

template <class T>
Vec3<T> unit(const Vec3<T>& v) {
    return v * (1.0 / sqrt(squared(v)));
}

/// The drawn circle of a wishbone's outer joint, and the joint's radius on it.
template <class T>
struct DrawnWishbone {
    Circle<T> circle;
    Vec3<T> outer, radius;

    DrawnWishbone(const Vec3<T>& front, const Vec3<T>& rear, const Vec3<T>& outer_, const T& front_leg,
                  const T& rear_leg)
        : circle(wishbone(front, rear, front_leg, rear_leg)), outer(outer_), radius(outer_ - circle.centre) {}

    /// Coordinates in the outer joint's frame: origin there, along the pickup axis, radially outward, across.
    Vec3<T> coordinates_of(const Vec3<T>& point) const {
        const Vec3<T> from = point - outer;
        const Vec3<T> radial = unit(radius);
        return {dot(from, circle.axis), dot(from, radial), dot(from, cross(circle.axis, radial))};
    }
};

}  // namespace detail

/// What is carried by what, and the rocker's axis, are the geometry's.
template <class T>
Drawing<T> drawing(const Geometry& g, const DrawnPoints<T>& c, LoopTriples<T>& loops) {
    using enum Point;
    Drawing<T> d;
    for (std::size_t i = 0; i < point_count; ++i) d.points[i] = c.at[i] + c.built_off[i];
    const auto set = [&](Length l, Point a, Point b) { d.lengths[index(l)] = detail::distance(c[a], c[b]); };
    set(Length::upper_wishbone_front_leg, upper_wishbone_front, upper_wishbone_outer);
    set(Length::upper_wishbone_rear_leg, upper_wishbone_rear, upper_wishbone_outer);
    set(Length::lower_wishbone_front_leg, lower_wishbone_front, lower_wishbone_outer);
    set(Length::lower_wishbone_rear_leg, lower_wishbone_rear, lower_wishbone_outer);
    set(Length::track_rod, track_rod_inner, track_rod_outer);
    if (g.has_rocker) set(Length::pushrod, pushrod_inner, pushrod_outer);
    d.wheel_height_mm = c[wheel_centre].z;

    const auto leg = [&](Length l) { return d.lengths[index(l)]; };
    const detail::DrawnWishbone<T> lower(c[lower_wishbone_front], c[lower_wishbone_rear], c[lower_wishbone_outer],
                                         leg(Length::lower_wishbone_front_leg), leg(Length::lower_wishbone_rear_leg));
    const detail::DrawnWishbone<T> upper(c[upper_wishbone_front], c[upper_wishbone_rear], c[upper_wishbone_outer],
                                         leg(Length::upper_wishbone_front_leg), leg(Length::upper_wishbone_rear_leg));
    d.lower_radial = detail::unit(lower.radius);
    loops.upper = triple(upper.circle, lower.outer, upper.radius);

    const Vec3<T> steering_axis = detail::unit(upper.outer - lower.outer);
    const Vec3<T> steer = c[track_rod_outer] - lower.outer;
    const T along = dot(steer, steering_axis);
    const Circle<T> steer_circle = {lower.outer + steering_axis * along, steering_axis, T(0.0)};
    loops.track_rod = triple(steer_circle, c[track_rod_inner], steer - steering_axis * along);

    const auto on_wishbone = [&](Body carrier, int point) {
        const Vec3<T>& built = d.points[static_cast<std::size_t>(point)];
        return carrier == Body::lower_wishbone   ? lower.coordinates_of(built)
               : carrier == Body::upper_wishbone ? upper.coordinates_of(built)
                                                 : Vec3<T>();
    };
    d.strut_in_wishbone = on_wishbone(g.strut_on, g.strut_point);
    if (g.has_drop_link) d.drop_link_in_wishbone = on_wishbone(g.drop_link_on, g.drop_link_point);
    loops.rocker = T(0.0);
    if (g.has_rocker) {
        d.rocker_base = c[rocker_axis_point];
        const Vec3<T> inner = c[pushrod_inner] - c[rocker_axis_point];
        const T rocker_along = dot(inner, g.rocker_axis);
        const Circle<T, double> circle = {d.rocker_base + Vec3<T>(g.rocker_axis) * rocker_along, g.rocker_axis, T(0.0)};
        loops.rocker = triple(circle, c[pushrod_outer], inner - Vec3<T>(g.rocker_axis) * rocker_along);
    }
    return d;
}

}  // namespace shimwise
