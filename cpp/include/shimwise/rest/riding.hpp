// What rides on a corner and matters once the whole car stands: the unsprung centre of gravity, the drop link's end
// with the bar's arm that it turns, the third element's end on the rocker. Written once for every scalar.
#pragma once

#include "shimwise/math/atan.hpp"
#include "shimwise/motion/position.hpp"

namespace shimwise {

/// One arm of a bar and its drop link, as drawn. Both arms of a bar turn about the same axis, right bearing to left.
struct BarArm {
    Circle<double> circle;  // of the arm's end
    Vec3<double> drawn;     // from the circle's centre, and
    Vec3<double> across;    // axis x drawn
    double link_mm = 0.0;
    double side = 1.0;  // which way the link was drawn
};

/// A corner's drawing beyond its linkage.
struct Riders {
    bool unsprung_at_wheel_centre = true;
    bool has_bar = false;  // and it is connected
    bool has_third = false;
    Vec3<double> unsprung_cg;  // chassis frame as drawn, rigid with the upright
    BarArm bar;
    Vec3<double> third;  // on the rocker, chassis frame as drawn
};

/// Their coordinates on the bodies that carry them, as set.
template <class T>
struct RiderPlaces {
    Vec3<T> unsprung_cg, drop_link, third;
    T link2;  // length of the drop link, squared
};

template <class T>
RiderPlaces<T> rider_places(const Riders& riders, const Parts<T>& parts, const Linkage<T>& l) {
    const Geometry& g = *l.geometry;
    RiderPlaces<T> at;
    if (!riders.unsprung_at_wheel_centre)
        at.unsprung_cg = detail::drawn_upright(parts).coordinates_of(Vec3<T>(riders.unsprung_cg));
    if (riders.has_bar) {
        at.drop_link = drop_link_on_carrier(parts, l);
        at.link2 = square(parts.at(Length::drop_link) + riders.bar.link_mm);
    }
    if (riders.has_third) at.third = detail::drawn_rocker(g, g.drawn, parts).coordinates_of(Vec3<T>(riders.third));
    return at;
}

/// Places of numbers `number(get)`, where `get` takes each out of places in another scalar.
template <class T, class Number>
[[gnu::always_inline]] inline RiderPlaces<T> places_of(const Riders& riders, const Number& number) {
    const auto vector = [&number](const auto& get) __attribute__((always_inline)) {
        return Vec3<T>(number([&get](const auto& at) { return get(at).x; }),
                       number([&get](const auto& at) { return get(at).y; }),
                       number([&get](const auto& at) { return get(at).z; }));
    };
    RiderPlaces<T> k;
    if (!riders.unsprung_at_wheel_centre) k.unsprung_cg = vector([](const auto& at) { return at.unsprung_cg; });
    if (riders.has_bar) {
        k.drop_link = vector([](const auto& at) { return at.drop_link; });
        k.link2 = number([](const auto& at) { return at.link2; });
    }
    if (riders.has_third) k.third = vector([](const auto& at) { return at.third; });
    return k;
}

template <class T, class U>
RiderPlaces<T> raised(const RiderPlaces<U>& at, const Riders& riders) {
    return places_of<T>(riders, [&at](const auto& get) __attribute__((always_inline)) { return T(get(at)); });
}

template <class T>
struct Riding {
    Vec3<T> unsprung_cg;
    Vec3<T> drop_link;    // its end at the corner
    Vec3<T> bar_arm;      // from its circle's centre
    T bar_rad = T(0.0);   // how far the arm has turned from the drawing
    T bar_room = T(1.0);  // below 0: the drop link does not close
    Vec3<T> third;
};

template <class T>
Riding<T> riding(const Riders& riders, const RiderPlaces<T>& at, const Linkage<T>& l, const Pose<T>& p,
                 const Strut<T>& s) {
    Riding<T> r;
    r.unsprung_cg = riders.unsprung_at_wheel_centre ? p.wheel_centre : carried(l, p, Body::upright, at.unsprung_cg);
    if (riders.has_bar) {
        const BarArm& bar = riders.bar;
        r.drop_link = drop_link_end(l, p, s, at.drop_link);
        const Circle<T, double> circle = {Vec3<T>(bar.circle.centre), bar.circle.axis, T(bar.circle.radius2)};
        const Meeting<T> met = meet(circle, r.drop_link, at.link2, bar.side);
        r.bar_arm = met.radius;
        r.bar_room = met.room;
        // tan(half the angle) = sin / (1 + cos)
        r.bar_rad = atan(dot(met.radius, bar.across) / (dot(met.radius, bar.drawn) + bar.circle.radius2)) * 2.0;
    }
    if (riders.has_third) r.third = on_rocker(l, s, at.third);
    return r;
}

template <class T>
Riding<T> riding(const Riders& riders, const Parts<T>& parts, const Linkage<T>& l, const Pose<T>& p,
                 const Strut<T>& s) {
    return riding(riders, rider_places(riders, parts, l), l, p, s);
}

}  // namespace shimwise
