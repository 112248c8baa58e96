// Pushrod, rocker and spring at a pose, and the drop link's upper end.
#pragma once

#include "shimwise/motion/pose.hpp"

namespace shimwise {

/// Pushrod, rocker and spring at a pose.
template <class T>
struct Strut {
    Vec3<T> outer;          // pushrod.outer, or spring.outer without rocker
    Vec3<T> rocker_radius;  // rocker axis to pushrod.inner
    Vec3<T> rocker_side;
    Vec3<T> spring;  // the spring's moving eye
    T spring_length;
    T room;  // below 0: the pushrod's loop does not close
};

/// Where a point of the upright or of a wishbone is, from its coordinates there.
template <class T>
Vec3<T> carried(const Linkage<T>& l, const Pose<T>& p, Body by, const Vec3<T>& at) {
    if (by == Body::upright) return p.lower_outer + place(at, p.steering_axis, p.steering_radius, p.steering_side);
    const bool lower = by == Body::lower_wishbone;
    const Vec3<T>& radius = lower ? p.lower_radius : p.upper_radius;
    return (lower ? l.lower_centre : l.upper.centre) + radius +
           place(at, lower ? l.lower_axis : l.upper.axis, radius, lower ? p.lower_side : p.upper_side);
}

/// Where a point of the rocker is.
template <class T>
Vec3<T> on_rocker(const Linkage<T>& l, const Strut<T>& s, const Vec3<T>& at) {
    return l.rocker.centre + place(at, l.rocker.axis, s.rocker_radius, s.rocker_side);
}

template <class T>
Strut<T> strut(const Linkage<T>& l, const Pose<T>& p) {
    Strut<T> s;
    s.outer = carried(l, p, l.geometry->strut_on, l.strut_on_carrier);
    if (l.geometry->has_rocker) {
        const Meeting<T> rocker = meet(l.rocker, s.outer, l.pushrod2, l.geometry->rocker_side);
        s.rocker_radius = rocker.radius;
        s.room = rocker.room;
        s.rocker_side = cross(l.rocker.axis, rocker.radius);
        s.spring = on_rocker(l, s, l.spring_on_rocker);
    } else {
        s.room = T(1.0);
        s.spring = s.outer;
    }
    s.spring_length = sqrt(squared(s.spring - l.spring_chassis));
    return s;
}

/// Coordinates of the drop link's upper end on the body that carries it. Precondition: the corner has one.
template <class T>
Vec3<T> drop_link_on_carrier(const Parts<T>& parts, const Linkage<T>& l) {
    const Geometry& g = *l.geometry;
    const Vec3<T>& drawn = parts.points[static_cast<std::size_t>(g.drop_link_point)];
    if (g.drop_link_on == Body::rocker) return detail::drawn_rocker(g, g.drawn, parts).coordinates_of(drawn);
    if (g.drop_link_on == Body::upright) return detail::drawn_upright(parts).coordinates_of(drawn);
    const bool lower = g.drop_link_on == Body::lower_wishbone;
    return detail::on_wishbone(g.drawn.drop_link_in_wishbone, lower ? T(squared(l.lower_out)) : l.upper.radius2);
}

/// And where it is.
template <class T>
Vec3<T> drop_link_end(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const Vec3<T>& on_carrier) {
    const Body by = l.geometry->drop_link_on;
    return by == Body::rocker ? on_rocker(l, s, on_carrier) : carried(l, p, by, on_carrier);
}

}  // namespace shimwise
