// The pose of a corner for what is held. One construction, `meet`, used again and again; written once for every scalar.
#pragma once

#include <string>

#include "shimwise/motion/linkage.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/units.hpp"

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

/// Pushrod, rocker and spring at a pose.
template <class T>
struct Strut {
    Vec3<T> outer;       // pushrod.outer, or spring.outer without rocker
    Vec3<T> rocker_arm;  // rocker axis to pushrod.inner
    Vec3<T> rocker_side;
    Vec3<T> spring;  // the spring's moving eye
    T spring_length;
    T room;  // below 0: the pushrod's loop does not close
};

/// Where a point of the upright or of a wishbone is, from its coordinates there.
template <class T>
Vec3<T> carried(const Linkage<T>& l, const Pose<T>& p, Body by, const Vec3<T>& at) {
    if (by == Body::upright) return p.lower_outer + place(at, p.steering_axis, p.steering_arm, p.steering_side);
    const bool lower = by == Body::lower_wishbone;
    const Vec3<T>& arm = lower ? p.lower_arm : p.upper_arm;
    return (lower ? l.lower_centre : l.upper.centre) + arm +
           place(at, lower ? l.lower_axis : l.upper.axis, arm, lower ? p.lower_side : p.upper_side);
}

/// Where a point of the rocker is.
template <class T>
Vec3<T> on_rocker(const Linkage<T>& l, const Strut<T>& s, const Vec3<T>& at) {
    return l.rocker.centre + place(at, l.rocker.axis, s.rocker_arm, s.rocker_side);
}

/// Coordinates of the drop link's upper end on the body that carries it. Precondition: the corner has one.
template <class T>
Vec3<T> drop_link_on_carrier(const Parts<T>& parts, const Linkage<T>& l) {
    const Geometry& g = *l.geometry;
    const Vec3<T>& drawn = parts.points[static_cast<std::size_t>(g.drop_link_point)];
    if (g.drop_link_on == Body::rocker) return detail::drawn_rocker(g, parts).coordinates_of(drawn);
    if (g.drop_link_on == Body::upright) return detail::drawn_upright(parts).coordinates_of(drawn);
    const bool lower = g.drop_link_on == Body::lower_wishbone;
    return detail::on_wishbone(g.drop_link_in_wishbone, lower ? T(squared(l.lower_out)) : l.upper.radius2);
}

/// And where it is.
template <class T>
Vec3<T> drop_link_end(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const Vec3<T>& on_carrier) {
    const Body by = l.geometry->drop_link_on;
    return by == Body::rocker ? on_rocker(l, s, on_carrier) : carried(l, p, by, on_carrier);
}

template <class T>
Strut<T> strut(const Linkage<T>& l, const Pose<T>& p) {
    Strut<T> s;
    s.outer = carried(l, p, l.geometry->strut_on, l.strut_on_carrier);
    if (l.geometry->has_rocker) {
        const Meeting<T> rocker = meet(l.rocker, s.outer, l.pushrod2, l.geometry->rocker_side);
        s.rocker_arm = rocker.arm;
        s.room = rocker.room;
        s.rocker_side = cross(l.rocker.axis, rocker.arm);
        s.spring = on_rocker(l, s, l.spring_on_rocker);
    } else {
        s.room = T(1.0);
        s.spring = s.outer;
    }
    s.spring_length = sqrt(squared(s.spring - l.spring_chassis));
    return s;
}

/// The one freedom left: velocities per radian of the lower arm's angle.
template <class T>
struct Motion {
    T upper;       // angle of the upper arm
    Vec3<T> turn;  // angular velocity of the upright
};

/// From |upright| and |track rod| kept: with u = upper outer joint's velocity per radian of its arm, s the steering
/// axis, upper = s . v_lower / s . u; the turn is s x (v_upper - v_lower) / |upright| plus what the track rod asks
/// about s.
template <class T>
Motion<T> null_motion(const Linkage<T>& l, const Pose<T>& p) {
    Motion<T> m;
    m.upper = dot(p.steering_axis, p.lower_side) / dot(p.steering_axis, p.upper_side);
    const Vec3<T> across = cross(p.steering_axis, p.upper_side * m.upper - p.lower_side) * l.upright_inverse;
    const Vec3<T> outer = p.steering_axis * l.steer_along + p.steering_arm;
    const Vec3<T> rod = p.lower_outer + outer - l.track_rod_inner;
    const T about = dot(rod, p.lower_side + cross(across, outer)) / dot(rod, p.steering_side);
    m.turn = across - p.steering_axis * about;
    return m;
}

/// Whether a unit `up` is the chassis' own z; one with derivatives is never taken as such.
[[gnu::always_inline]] inline bool along_z(const Vec3<double>& up) { return up.z == 1.0; }
template <class U>
[[gnu::always_inline]] inline bool along_z(const Vec3<U>&) {
    return false;
}

/// v . up for a unit `up`; over a level ground it costs nothing.
template <class T, class U = double>
T along(const Vec3<T>& v, const Vec3<U>& up) {
    return along_z(up) ? v.z : dot(v, up);
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

/// Velocity, per radian of its arm, of a point at `c` in a wishbone's outer joint's frame.
template <class T>
Vec3<T> swing(const Vec3<T>& c, const Vec3<T>& arm, const Vec3<T>& side) {
    return side + side * c.y - arm * c.z;
}

/// Spring lengthening per radian of the lower arm's angle: through carrier, pushrod and rocker.
template <class T>
T spring_rate(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const Motion<T>& m) {
    Vec3<T> outer;
    switch (l.geometry->strut_on) {
        case Body::lower_wishbone:
            outer = swing(l.strut_on_carrier, p.lower_arm, p.lower_side);
            break;
        case Body::upper_wishbone:
            outer = swing(l.strut_on_carrier, p.upper_arm, p.upper_side) * m.upper;
            break;
        default:
            outer = velocity(p, m, s.outer);
            break;
    }
    const Vec3<T> strut = s.spring - l.spring_chassis;
    if (!l.geometry->has_rocker) return dot(strut, outer) / s.spring_length;
    const Vec3<T> pushrod = l.rocker.centre + s.rocker_arm - s.outer;
    const Vec3<T> eye = s.rocker_side * l.spring_on_rocker.y - s.rocker_arm * l.spring_on_rocker.z;
    return dot(pushrod, outer) * dot(strut, eye) / (dot(pushrod, s.rocker_side) * s.spring_length);
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

enum class Held { wheel, contact, spring };
inline constexpr std::array<std::string_view, 3> held_names = {"wheel", "contact", "spring"};

/// What is held: the wheel centre's height or the contact's along `up`, or the spring's length.
struct Hold {
    Held what = Held::contact;
    Vec3<double> up = {0.0, 0.0, 1.0};
};

template <class T>
struct HeldValue {
    T value, slope, room;
};

/// The held height of the wheel centre or of the contact.
template <class T>
T held_height(const Linkage<T>& l, const Pose<T>& p, const Hold& hold) {
    return hold.what == Held::wheel ? p.wheel_centre.z
                                    : contact_height(*l.geometry, p.wheel_centre, stance(l, p, hold.up), hold.up);
}

/// The held value alone, of a pose with its strut.
template <class T>
T held_alone(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const Hold& hold) {
    return hold.what == Held::spring ? s.spring_length : held_height(l, p, hold);
}

template <class T>
HeldValue<T> held_value(const Linkage<T>& l, const Pose<T>& p, const Hold& hold) {
    const Motion<T> m = null_motion(l, p);
    const T room = select(p.upper_room < p.track_rod_room, p.upper_room, p.track_rod_room);
    switch (hold.what) {
        case Held::wheel:
            return {p.wheel_centre.z, rise(p, m, p.wheel_centre), room};
        case Held::spring: {
            const Strut<T> s = strut(l, p);
            return {s.spring_length, spring_rate(l, p, s, m), select(s.room < room, s.room, room)};
        }
        default: {
            const Stance<T> s = stance(l, p, hold.up);
            const T outboard = s.outboard + s.lean * (l.geometry->wheel_radius_mm / s.upright);
            const Vec3<T> over = p.wheel_centre + p.wheel_axis * outboard;  // straight above the contact
            return {contact_height(*l.geometry, p.wheel_centre, s, hold.up), climb(p, m, over, hold.up), room};
        }
    }
}

/// A pose with the arm it was found at. `met`: the held value is met there.
template <class T>
struct Position {
    T arm;
    Pose<T> pose;
    decltype(T() < T()) met;
    T next;  // one more Newton step: where that is all that is missing, no pose need be made to see it
};

/// Newton on the arm for the held value. A step that leaves the assembly, or lands where the value has turned back, is
/// halved; a lane that has arrived is frozen, so its bits do not depend on its neighbours. Done where the value is met
/// to `enough_mm`.
template <class T>
Position<T> position(const Linkage<T>& l, const Hold& hold, const T& value, const T& start,
                     double enough_mm = tolerances::held_mm) {
    T arm = start;
    T last_closed = start;
    T way(0.0);
    for (int i = 0;; ++i) {
        const Pose<T> p = pose(l, arm);
        const HeldValue<T> h = held_value(l, p, hold);
        const T error = value - h.value;
        if (i == 0) way = h.slope;
        const auto closes = both(h.room > T(0.0), h.slope * way > T(0.0));
        const auto met = both(closes, magnitude(error) < T(enough_mm));
        const T step = error / h.slope * ((square(arm) + 1.0) * 0.5);
        const T next = select(closes, arm + step, (arm + last_closed) * 0.5);
        if (all(met) || i == tolerances::newton_steps) return {arm, p, met, next};
        last_closed = select(closes, arm, last_closed);
        arm = select(met, arm, next);
    }
}

enum class Status { ok, upper_wishbone_open, track_rod_open, pushrod_open, out_of_reach };

/// A solved corner, or why it can not be: the loop that does not close, or the held value's nearest reachable one.
struct Solved {
    Status status = Status::ok;
    Status limit = Status::ok;  // out of reach: the loop that opens there; ok where the value itself turns back
    double short_by_mm = 0.0;   // of the open loop (+ = its link must grow), or of the held value
    double lowest = 0.0;        // range of the held value, where it is out of reach
    double highest = 0.0;
    double arm = 0.0;
    Pose<double> pose;
    Strut<double> strut;
};

/// Position with the search that Newton alone can not give: from `start` (0: the drawn arm), then bracketed within the
/// range that assembles.
Solved solve(const Linkage<double>& l, const Hold& hold, double value, double start = 0.0);

/// One sentence for every status but ok, with the amount; where the wheel is held, as travel from its drawn height.
std::string in_words(const Solved& solved, const Hold& hold, double drawn_wheel_mm = 0.0);

/// The same, for callers who can not go on without: throws OutOfReach with that sentence.
Solved solve_or_throw(const Linkage<double>& l, const Hold& hold, double value, double start = 0.0);

/// All joints of a corner at a pose, by Point; points that the corner lacks are at the origin.
std::array<Vec3<double>, point_count> joints(const Parts<double>& parts, const Linkage<double>& l,
                                             const Pose<double>& p, const Strut<double>& s);

}  // namespace shimwise
