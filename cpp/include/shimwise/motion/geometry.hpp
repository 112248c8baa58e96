// A corner's drawing as the motion templates read it: plain numbers, lengths measured once, adjusters as a flat list.
#pragma once

#include <array>
#include <vector>

#include "shimwise/model/corner.hpp"

namespace shimwise {

/// One mm of adjuster number `adjuster` moves `point`, or grows `length`; the other is -1.
struct FlatChange {
    int adjuster = 0;
    int point = -1;
    int length = -1;
    Vec3<double> per_mm;
};

/// What of a corner's drawing moves with its points.
template <class T>
struct Drawing {
    std::array<Vec3<T>, point_count> points{};  // as built; points the corner does not have are at the origin
    std::array<T, length_count> lengths{};      // of the links, as drawn
    T wheel_height_mm = T(0.0);                 // of the wheel centre, as drawn: the zero of travel
    Vec3<T> lower_radial;                       // unit, pickup axis to joint, as drawn: the zero of its angle
    Vec3<T> rocker_base;                        // its axis point, as drawn
    Vec3<T> strut_in_wishbone;                  // in the outer joint's frame, where a wishbone carries it
    Vec3<T> drop_link_in_wishbone;
};

struct Geometry {
    Drawing<double> drawn;
    Vec3<double> wheel_axis;      // unit, outboard
    Vec3<double> rocker_axis;     // unit
    Vec3<double> rack_direction;  // zero: the inner track rod joint is fixed
    double wheel_radius_mm = 0.0;
    double half_width_mm = 0.0;
    double offset_mm = 0.0;
    double left = 1.0;  // +1 on the left side, -1 on the right
    bool has_rocker = true;
    bool pull_rod = false;
    Body strut_on = Body::lower_wishbone;  // carries pushrod.outer, or spring.outer where there is no rocker
    int strut_point = 0;                   // that point
    bool has_drop_link = false;
    Body drop_link_on = Body::rocker;  // carries the drop link's upper end
    int drop_link_point = 0;           // that point
    double upper_side = 1.0;           // which way each loop was drawn
    double track_rod_side = 1.0;
    double rocker_side = 1.0;
    std::vector<FlatChange> changes;
};

/// Measures a corner. Precondition: `check` found nothing.
Geometry geometry(const Corner& corner);

}  // namespace shimwise
