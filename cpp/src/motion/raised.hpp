// A linkage found in one scalar, for use in another.
#pragma once

#include "shimwise/motion/linkage.hpp"

namespace shimwise {

/// A linkage of numbers `number(get)`, where `get` takes each out of a linkage in another scalar.
template <class T, class Number>
[[gnu::always_inline]] inline Linkage<T> linkage_of(const Geometry& g, const Number& number) {
    const auto vector = [&number](const auto& get) __attribute__((always_inline)) {
        return Vec3<T>(number([&get](const auto& l) { return get(l).x; }),
                       number([&get](const auto& l) { return get(l).y; }),
                       number([&get](const auto& l) { return get(l).z; }));
    };
    Linkage<T> k;
    k.lower_centre = vector([](const auto& l) { return l.lower_centre; });
    k.lower_axis = vector([](const auto& l) { return l.lower_axis; });
    k.lower_out = vector([](const auto& l) { return l.lower_out; });
    k.lower_up = vector([](const auto& l) { return l.lower_up; });
    k.upper = {vector([](const auto& l) { return l.upper.centre; }), vector([](const auto& l) { return l.upper.axis; }),
               number([](const auto& l) { return l.upper.radius2; })};
    k.upright2 = number([](const auto& l) { return l.upright2; });
    k.upright_inverse = number([](const auto& l) { return l.upright_inverse; });
    k.steer_along = number([](const auto& l) { return l.steer_along; });
    k.steer_radius2 = number([](const auto& l) { return l.steer_radius2; });
    k.track_rod_inner = vector([](const auto& l) { return l.track_rod_inner; });
    k.track_rod2 = number([](const auto& l) { return l.track_rod2; });
    k.wheel_centre_on_upright = vector([](const auto& l) { return l.wheel_centre_on_upright; });
    k.wheel_axis_on_upright = vector([](const auto& l) { return l.wheel_axis_on_upright; });
    k.strut_on_carrier = vector([](const auto& l) { return l.strut_on_carrier; });
    if (g.has_rocker) {
        k.rocker = {vector([](const auto& l) { return l.rocker.centre; }), g.rocker_axis,
                    number([](const auto& l) { return l.rocker.radius2; })};
        k.pushrod2 = number([](const auto& l) { return l.pushrod2; });
        k.spring_on_rocker = vector([](const auto& l) { return l.spring_on_rocker; });
    }
    k.spring_chassis = vector([](const auto& l) { return l.spring_chassis; });
    k.geometry = &g;
    return k;
}

/// The same linkage in a scalar with more derivatives, all of those 0.
template <class T, class U>
Linkage<T> raised(const Linkage<U>& l) {
    return linkage_of<T>(*l.geometry, [&l](const auto& get) __attribute__((always_inline)) { return T(get(l)); });
}

}  // namespace shimwise
