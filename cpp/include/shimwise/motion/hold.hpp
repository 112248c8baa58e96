// What of a corner can be held, its value at a pose and how that goes with the one freedom.
#pragma once

#include <array>
#include <string_view>

#include "shimwise/motion/null_motion.hpp"

namespace shimwise {

enum class Held { wheel, contact, spring };
inline constexpr std::array<std::string_view, 3> held_names = {"wheel", "contact", "spring"};

/// What is held: the wheel centre's height or the contact's along `up`, or the spring's length.
template <class U>
struct HoldAlong {
    Held what = Held::contact;
    Vec3<U> up = {0.0, 0.0, 1.0};
};
using Hold = HoldAlong<double>;

template <class T>
struct HeldValue {
    T value, slope, room;
};

/// The held height of the wheel centre or of the contact.
template <class T, class U = double>
T held_height(const Linkage<T>& l, const Pose<T>& p, const HoldAlong<U>& hold) {
    return hold.what == Held::wheel ? p.wheel_centre.z
                                    : contact_height(*l.geometry, p.wheel_centre, stance(l, p, hold.up), hold.up);
}

/// The held value alone, of a pose with its strut.
template <class T, class U = double>
T held_alone(const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s, const HoldAlong<U>& hold) {
    return hold.what == Held::spring ? s.spring_length : held_height(l, p, hold);
}

template <class T, class U = double>
HeldValue<T> held_value(const Linkage<T>& l, const Pose<T>& p, const HoldAlong<U>& hold) {
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

}  // namespace shimwise
