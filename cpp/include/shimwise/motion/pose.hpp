// Where the upright is at an angle of the lower wishbone. One construction, `meet`, used again and again; written once
// for every scalar.
#pragma once

#include "shimwise/motion/linkage.hpp"

namespace shimwise {

/// Where everything is. Chassis frame, mm.
template <class T>
struct Pose {
    Vec3<T> lower_arm;   // pickup axis to lower outer joint
    Vec3<T> lower_side;  // lower_axis x lower_arm: the joint's velocity per radian of its arm
    Vec3<T> lower_outer;
    Vec3<T> upper_arm;
    Vec3<T> upper_side;
    Vec3<T> steering_axis;  // unit, lower to upper outer joint
    Vec3<T> steering_arm;   // steering axis to track rod's outer joint
    Vec3<T> steering_side;  // steering_axis x steering_arm
    Vec3<T> wheel_centre;
    Vec3<T> wheel_axis;            // unit, outboard
    T upper_room, track_rod_room;  // below 0: the loop does not close
};

template <class T, class A>
Vec3<T> place(const Vec3<T>& c, const Vec3<A>& axis, const Vec3<T>& arm, const Vec3<T>& side) {
    return axis * c.x + arm * c.y + side * c.z;
}

/// The pose at a given arm: t = tan(half the lower arm's angle from the drawn position).
template <class T>
Pose<T> pose(const Linkage<T>& l, const T& arm) {
    Pose<T> p;
    const T arm2 = square(arm);
    const T scale = 1.0 / (1.0 + arm2);
    const T cosine = (1.0 - arm2) * scale;
    const T sine = (arm + arm) * scale;
    p.lower_arm = l.lower_out * cosine + l.lower_up * sine;
    p.lower_side = l.lower_up * cosine - l.lower_out * sine;
    p.lower_outer = l.lower_centre + p.lower_arm;

    const Meeting<T> upper = meet(l.upper, p.lower_outer, l.upright2, l.geometry->upper_side);
    p.upper_arm = upper.arm;
    p.upper_side = cross(l.upper.axis, upper.arm);
    p.upper_room = upper.room;
    p.steering_axis = (l.upper.centre + upper.arm - p.lower_outer) * l.upright_inverse;

    const Circle<T> steer = {p.lower_outer + p.steering_axis * l.steer_along, p.steering_axis, l.steer_radius2};
    const Meeting<T> track_rod = meet(steer, l.track_rod_inner, l.track_rod2, l.geometry->track_rod_side);
    p.steering_arm = track_rod.arm;
    p.track_rod_room = track_rod.room;
    p.steering_side = cross(p.steering_axis, p.steering_arm);

    p.wheel_centre = p.lower_outer + place(l.wheel_centre_on_upright, p.steering_axis, p.steering_arm, p.steering_side);
    p.wheel_axis = place(l.wheel_axis_on_upright, p.steering_axis, p.steering_arm, p.steering_side);
    return p;
}

}  // namespace shimwise
