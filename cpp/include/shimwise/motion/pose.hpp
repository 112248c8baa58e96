// Where the upright is at an angle of the lower wishbone. One construction, `meet`, used again and again; written once
// for every scalar.
#pragma once

#include "shimwise/motion/linkage.hpp"

namespace shimwise {

/// Where everything is. Chassis frame, mm.
template <class T>
struct Pose {
    Vec3<T> lower_radius;  // pickup axis to lower outer joint
    Vec3<T> lower_side;    // lower_axis x lower_radius: the joint's velocity per radian of its wishbone
    Vec3<T> lower_outer;
    Vec3<T> upper_radius;
    Vec3<T> upper_side;
    Vec3<T> steering_axis;    // unit, lower to upper outer joint
    Vec3<T> steering_radius;  // steering axis to track rod's outer joint
    Vec3<T> steering_side;    // steering_axis x steering_radius
    Vec3<T> wheel_centre;
    Vec3<T> wheel_axis;            // unit, outboard
    T upper_room, track_rod_room;  // below 0: the loop does not close
};

template <class T, class A>
Vec3<T> place(const Vec3<T>& c, const Vec3<A>& axis, const Vec3<T>& radius, const Vec3<T>& side) {
    return axis * c.x + radius * c.y + side * c.z;
}

/// The pose at `half_tan`, the one freedom of a corner: the tangent of half the lower wishbone's angle from the drawn
/// position.
template <class T>
Pose<T> pose(const Linkage<T>& l, const T& half_tan) {
    Pose<T> p;
    const T half_tan2 = square(half_tan);
    const T scale = 1.0 / (1.0 + half_tan2);
    const T cosine = (1.0 - half_tan2) * scale;
    const T sine = (half_tan + half_tan) * scale;
    p.lower_radius = l.lower_out * cosine + l.lower_up * sine;
    p.lower_side = l.lower_up * cosine - l.lower_out * sine;
    p.lower_outer = l.lower_centre + p.lower_radius;

    const Meeting<T> upper = meet(l.upper, p.lower_outer, l.upright2, l.geometry->upper_side);
    p.upper_radius = upper.radius;
    p.upper_side = cross(l.upper.axis, upper.radius);
    p.upper_room = upper.room;
    p.steering_axis = (l.upper.centre + upper.radius - p.lower_outer) * l.upright_inverse;

    const Circle<T> steer = {p.lower_outer + p.steering_axis * l.steer_along, p.steering_axis, l.steer_radius2};
    const Meeting<T> track_rod = meet(steer, l.track_rod_inner, l.track_rod2, l.geometry->track_rod_side);
    p.steering_radius = track_rod.radius;
    p.track_rod_room = track_rod.room;
    p.steering_side = cross(p.steering_axis, p.steering_radius);

    p.wheel_centre =
        p.lower_outer + place(l.wheel_centre_on_upright, p.steering_axis, p.steering_radius, p.steering_side);
    p.wheel_axis = place(l.wheel_axis_on_upright, p.steering_axis, p.steering_radius, p.steering_side);
    return p;
}

}  // namespace shimwise
