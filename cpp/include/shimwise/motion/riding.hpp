// What rides on a corner and matters once the whole car stands: the unsprung centre of gravity, the drop link's end with
// the bar's arm that it turns, the third element's end on the rocker. Written once for every scalar.
#pragma once

#include <optional>

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
    std::optional<Vec3<double>> unsprung_cg;  // chassis frame as drawn, rigid with the upright; else the wheel centre
    std::optional<BarArm> bar;                // where a bar is connected
    std::optional<Vec3<double>> third;        // on the rocker, chassis frame as drawn
};

template <class T>
struct Riding {
    Vec3<T> unsprung_cg;
    Vec3<T> drop_link;     // its end at the corner
    Vec3<T> bar_arm;       // the arm, from its circle's centre
    T bar_rad = T(0.0);    // how far the arm has turned from the drawing
    T bar_room = T(1.0);   // below 0: the drop link does not close
    Vec3<T> third;
};

/// The drop link's end at the corner. Precondition: the corner has one.
template <class T>
Vec3<T> drop_link_end(const Parts<T>& parts, const Linkage<T>& l, const Pose<T>& p, const Strut<T>& s) {
    const Geometry& g = *l.geometry;
    const Vec3<T>& drawn = parts.points[static_cast<std::size_t>(g.drop_link_point)];
    switch (g.drop_link_on) {
        case Body::rocker:
            return on_rocker(l, s, detail::drawn_rocker(g, parts).coordinates_of(drawn));
        case Body::upright:
            return carried(l, p, g.drop_link_on, detail::drawn_upright(parts).coordinates_of(drawn));
        default: {
            const T radius2 = squared(g.drop_link_on == Body::lower_wishbone ? p.lower_arm : p.upper_arm);
            return carried(l, p, g.drop_link_on, detail::on_wishbone(g.drop_link_in_wishbone, radius2));
        }
    }
}

template <class T>
Riding<T> riding(const Riders& riders, const Parts<T>& parts, const Linkage<T>& l, const Pose<T>& p,
                 const Strut<T>& s) {
    Riding<T> r;
    r.unsprung_cg = riders.unsprung_cg
                        ? carried(l, p, Body::upright,
                                  detail::drawn_upright(parts).coordinates_of(Vec3<T>(*riders.unsprung_cg)))
                        : p.wheel_centre;
    if (riders.bar) {
        const BarArm& bar = *riders.bar;
        r.drop_link = drop_link_end(parts, l, p, s);
        const Circle<T, double> circle = {Vec3<T>(bar.circle.centre), bar.circle.axis, T(bar.circle.radius2)};
        const Meeting<T> met = meet(circle, r.drop_link, square(parts.at(Length::drop_link) + bar.link_mm), bar.side);
        r.bar_arm = met.arm;
        r.bar_room = met.room;
        // tan(half the angle) = sin / (1 + cos)
        r.bar_rad = atan(dot(met.arm, bar.across) / (dot(met.arm, bar.drawn) + bar.circle.radius2)) * 2.0;
    }
    if (riders.third)
        r.third = on_rocker(l, s, detail::drawn_rocker(*l.geometry, parts).coordinates_of(Vec3<T>(*riders.third)));
    return r;
}

}  // namespace shimwise
