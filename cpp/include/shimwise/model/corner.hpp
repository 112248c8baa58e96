// One corner of the car as it stands on the drawing and in the box. It moves nothing.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/math/vec3.hpp"
#include "shimwise/model/adjuster.hpp"
#include "shimwise/model/names.hpp"

namespace shimwise {

struct SetupWheel {
    double radius_mm = 0.0;
    double width_mm = 0.0;
    double offset_mm = 0.0;  // disc outboard of the wheel centre
    double flag_span_mm = 0.0;
    std::optional<double> flags_out_mm = {};  // outboard of the disc's middle, at the height of the wheel centre
};

struct Tyre {
    double loaded_radius_mm = 0.0;
    std::optional<double> rate_N_per_mm;
};

/// Exactly one of load, free length or `rests_as_drawn` is given.
struct Spring {
    double rate_N_per_mm = 0.0;
    std::optional<double> load_at_drawn_N;
    std::optional<double> free_length_mm;
    double seat_gap_mm = 0.0;  // eye to eye less spring, with `free_length_mm`
    bool rests_as_drawn = false;
};

/// Eye to eye; the longest is the droop stop.
struct Damper {
    double shortest_mm = 0.0;
    double longest_mm = 0.0;
};

struct BumpRubber {
    double gap_mm = 0.0;  // shortening from the drawn length until it touches
    std::vector<std::array<double, 2>> force_N_at_mm;
};

/// In series with the main spring, solid once squeezed by `closes_at_mm`.
struct Helper {
    double rate_N_per_mm = 0.0;
    double closes_at_mm = 0.0;
};

/// A rod drawn with its outer end above its inner one: it pulls as the wheel rises. One that rises inward pushes.
inline bool is_pull_rod(const Vec3<double>& outer, const Vec3<double>& inner) { return outer.z > inner.z; }

struct Corner {
    CornerId id = CornerId::front_left;
    std::array<std::optional<Vec3<double>>, point_count> points;  // chassis frame, mm, as drawn
    std::array<Vec3<double>, point_count> built_off_mm;  // of the part from its drawing; rods keep their lengths
    double toe_deg = 0.0, camber_deg = 0.0;              // of the wheel as drawn
    Vec3<double> wheel_axis;                             // from these: unit, outboard
    SetupWheel wheel;
    std::optional<Tyre> tyre;
    std::optional<Vec3<double>> rack_direction;  // unit, where the inner track rod joint moves with the rack
    Vec3<double> rocker_axis;                    // unit
    Body pushrod_outer_on = Body::lower_wishbone;
    Body spring_outer_on = Body::lower_wishbone;     // of a spring without rocker
    Body drop_link_outer_on = Body::lower_wishbone;  // of a drop link without rocker
    Spring spring;
    std::optional<Damper> damper;
    std::optional<BumpRubber> bump_rubber;
    std::optional<Helper> helper;
    double unsprung_kg = 0.0;
    std::optional<Vec3<double>> unsprung_cg_mm;  // otherwise at the wheel centre
    std::vector<Adjuster> adjusters;

    const Vec3<double>& at(Point point) const { return *points[index(point)]; }
    bool has(Point point) const { return points[index(point)].has_value(); }
    /// Names of the points it has, in the list's order.
    std::vector<std::string> point_names() const;
    bool has_rocker() const { return has(Point::rocker_axis_point); }
    bool has_pull_rod() const {
        return has(Point::pushrod_outer) && has(Point::pushrod_inner) &&
               is_pull_rod(at(Point::pushrod_outer), at(Point::pushrod_inner));
    }
    /// The body that carries a point of this corner.
    Body carrier(Point point) const;
    /// Position in `adjusters`, or nothing.
    std::optional<std::size_t> find(const std::string& adjuster_name) const;
    /// The amount of every adjuster, mm, in order.
    std::vector<double> amounts_mm() const;
};

}  // namespace shimwise
