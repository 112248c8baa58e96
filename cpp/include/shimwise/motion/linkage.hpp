// Parts -> the constants that position reads.
#pragma once

#include "shimwise/motion/drawn_bodies.hpp"

namespace shimwise {

/// Constants of a corner with given parts. Coordinates "on" a body are along (axis, radius, axis x radius) of its
/// circle.
template <class T>
struct Linkage {
    Vec3<T> lower_centre, lower_axis, lower_out,
        lower_up;                  // lower outer joint = centre + out cos + up sin of its angle
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

/// Of a drawing by itself, which may have points elsewhere than the geometry.
template <class T, class D>
Linkage<T> linkage(const Geometry& g, const Drawing<D>& drawn, const Parts<T>& p) {
    Linkage<T> l;
    l.geometry = &g;

    const Circle<T> lower =
        detail::wishbone(p.at(Point::lower_wishbone_front), p.at(Point::lower_wishbone_rear),
                         p.at(Length::lower_wishbone_front_leg), p.at(Length::lower_wishbone_rear_leg));
    l.lower_centre = lower.centre;
    l.lower_axis = lower.axis;
    const Vec3<T> out = drawn.lower_radial - lower.axis * dot(lower.axis, drawn.lower_radial);
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
    const Vec3<T> radius = steer - axis * l.steer_along;
    l.steer_radius2 = squared(radius);
    const T radius2_inverse = 1.0 / l.steer_radius2;
    const Vec3<T> side = cross(axis, radius);
    l.track_rod_inner = p.at(Point::track_rod_inner);
    l.track_rod2 = square(p.at(Length::track_rod));
    l.wheel_centre_on_upright =
        detail::coordinates(p.at(Point::wheel_centre) - lower_outer, axis, radius, side, radius2_inverse);
    l.wheel_axis_on_upright = detail::coordinates(g.wheel_axis, axis, radius, side, radius2_inverse);

    if (g.strut_on == Body::upright) {
        const Vec3<T>& strut = p.points[static_cast<std::size_t>(g.strut_point)];
        l.strut_on_carrier = detail::coordinates(strut - lower_outer, axis, radius, side, radius2_inverse);
    } else {
        l.strut_on_carrier = detail::on_wishbone(drawn.strut_in_wishbone,
                                                 g.strut_on == Body::lower_wishbone ? lower.radius2 : l.upper.radius2);
    }

    l.spring_chassis = p.at(Point::spring_chassis);
    if (g.has_rocker) {
        const detail::DrawnBody<T, double> rocker = detail::drawn_rocker(g, drawn, p);
        const Vec3<T> moved = p.at(Point::rocker_axis_point) - drawn.rocker_base;
        l.rocker = {rocker.origin + moved, g.rocker_axis, squared(rocker.radius)};
        l.pushrod2 = square(p.at(Length::pushrod));
        l.spring_on_rocker = rocker.coordinates_of(p.at(Point::rocker_spring));
    }
    return l;
}

template <class T>
Linkage<T> linkage(const Geometry& g, const Parts<T>& p) {
    return linkage(g, g.drawn, p);
}

}  // namespace shimwise
