#include "shimwise/motion/position.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

namespace shimwise {
namespace {

constexpr double scan_step_rad = 0.5 * rad_per_deg;
constexpr double scan_end_rad = 110.0 * rad_per_deg;

double half_tan_of(double angle_rad) { return std::tan(0.5 * angle_rad); }

HeldValue<double> held_at(const Linkage<double>& l, const Hold& hold, double angle_rad) {
    return held_value(l, pose(l, half_tan_of(angle_rad)), hold);
}

/// The first loop that does not close at a position, and by how much its link is off.
struct Opening {
    Status status = Status::ok;
    double missing_mm = 0.0;
};

Opening opening(const Linkage<double>& l, double half_tan) {
    const Pose<double> p = pose(l, half_tan);
    if (!(p.upper_room > 0.0))
        return {Status::upper_wishbone_open, missing(l.upper, p.lower_outer, 1.0 / l.upright_inverse)};
    if (!(p.track_rod_room > 0.0)) {
        const Circle<double> steer = {p.lower_outer + p.steering_axis * l.steer_along, p.steering_axis,
                                      l.steer_radius2};
        return {Status::track_rod_open, missing(steer, l.track_rod_inner, std::sqrt(l.track_rod2))};
    }
    const Strut<double> s = strut(l, p);
    if (!(s.room > 0.0)) return {Status::pushrod_open, missing(l.rocker, s.outer, std::sqrt(l.pushrod2))};
    return {};
}

/// The lower wishbone's range round `from` in which the held value exists and does not turn back.
struct Range {
    double low_rad, high_rad;
};

double edge(const Linkage<double>& l, const Hold& hold, double from, double direction, double slope_sign) {
    const auto inside = [&](double angle) {
        const HeldValue<double> h = held_at(l, hold, angle);
        return h.room > 0.0 && h.slope * slope_sign > 0.0;
    };
    double good = from;
    double bad = from;
    do {
        good = bad;
        bad = good + direction * scan_step_rad;
        if (std::fabs(bad) > scan_end_rad) return good;
    } while (inside(bad));
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (good + bad);
        (inside(middle) ? good : bad) = middle;
    }
    return good;
}

std::optional<double> nearest_assembled(const Linkage<double>& l, const Hold& hold) {
    for (double away = 0.0; away <= scan_end_rad; away += scan_step_rad)
        for (const double angle : {away, -away})
            if (held_at(l, hold, angle).room > 0.0) return angle;
    return std::nullopt;
}

Solved finished(const Linkage<double>& l, double half_tan, const Pose<double>& p) {
    Solved solved;
    solved.half_tan = half_tan;
    solved.pose = p;
    solved.strut = strut(l, p);
    if (!(solved.strut.room > 0.0)) {
        solved.status = Status::pushrod_open;
        solved.short_by_mm = missing(l.rocker, solved.strut.outer, std::sqrt(l.pushrod2));
    }
    return solved;
}

Solved failed(Status status, double short_by_mm) {
    Solved solved;
    solved.status = status;
    solved.short_by_mm = short_by_mm;
    return solved;
}

/// The value lies between two angles: halve until their heights agree to the last digits, then Newton from there. Where
/// the contact jumps from the disc's edge to its middle the value may lie in the jump; the nearer side is the answer.
Solved bracketed(const Linkage<double>& l, const Hold& hold, double value, Range range, double slope_sign) {
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (range.low_rad + range.high_rad);
        ((held_at(l, hold, middle).value - value) * slope_sign < 0.0 ? range.low_rad : range.high_rad) = middle;
    }
    const Position<double> found = position(l, hold, value, half_tan_of(range.low_rad));
    if (found.met) return finished(l, found.half_tan, found.pose);
    const double half_tan = half_tan_of(range.low_rad);
    return finished(l, half_tan, pose(l, half_tan));
}

}  // namespace

Solved solve(const Linkage<double>& l, const Hold& hold, double value, double start) {
    const Position<double> found = position(l, hold, value, start);
    if (found.met) return finished(l, found.half_tan, found.pose);

    const std::optional<double> assembled = nearest_assembled(l, hold);
    if (!assembled) {
        const Opening o = opening(l, 0.0);
        return failed(o.status, o.missing_mm);
    }
    const double slope_sign = held_at(l, hold, *assembled).slope < 0.0 ? -1.0 : 1.0;
    const Range range = {edge(l, hold, *assembled, -1.0, slope_sign), edge(l, hold, *assembled, 1.0, slope_sign)};
    const double at_low = held_at(l, hold, range.low_rad).value;
    const double at_high = held_at(l, hold, range.high_rad).value;
    const auto [lowest, highest] = std::minmax(at_low, at_high);
    if (lowest <= value && value <= highest) return bracketed(l, hold, value, range, slope_sign);

    const bool beyond_low = (value < lowest) == (at_low < at_high);
    const double outside = beyond_low ? range.low_rad - 1e-3 : range.high_rad + 1e-3;
    Solved solved = failed(Status::out_of_reach, value < lowest ? lowest - value : value - highest);
    solved.limit = opening(l, half_tan_of(outside)).status;
    solved.lowest = lowest;
    solved.highest = highest;
    return solved;
}

const char* in_words(Status status, const Geometry& corner) {
    switch (status) {
        case Status::upper_wishbone_open:
            return "the upright does not reach between the two wishbones";
        case Status::track_rod_open:
            return "the track rod does not reach its joint on the upright";
        case Status::pushrod_open:
            return corner.pull_rod ? "the pull rod does not reach the rocker" : "the pushrod does not reach the rocker";
        default:
            return "it turns back there";
    }
}

std::string in_words(const Solved& solved, const Linkage<double>& l, const Hold& hold) {
    char text[320];
    if (solved.status == Status::out_of_reach) {
        const double from_mm = hold.what == Held::wheel ? l.geometry->drawn.wheel_height_mm : 0.0;
        const char* what = hold.what == Held::wheel     ? "wheel travel"
                           : hold.what == Held::contact ? "contact height"
                                                        : "spring length";
        char off[48] = "at the very end of its range";
        if (solved.short_by_mm >= 0.0005) std::snprintf(off, sizeof off, "out of reach by %.3f mm", solved.short_by_mm);
        std::snprintf(text, sizeof text, "the held %s is %s (it can be %.3f to %.3f mm; beyond that %s)", what, off,
                      solved.lowest - from_mm, solved.highest - from_mm, in_words(solved.limit, *l.geometry));
    } else {
        std::snprintf(text, sizeof text, "%s: it is %.3f mm too %s", in_words(solved.status, *l.geometry),
                      std::fabs(solved.short_by_mm), solved.short_by_mm > 0.0 ? "short" : "long");
    }
    return text;
}

std::array<Vec3<double>, point_count> joints(const Parts<double>& parts, const Linkage<double>& l,
                                             const Pose<double>& p, const Strut<double>& s) {
    const Geometry& g = *l.geometry;
    std::array<Vec3<double>, point_count> at = parts.points;
    const auto set = [&at](Point point, const Vec3<double>& place) { at[index(point)] = place; };
    set(Point::lower_wishbone_outer, p.lower_outer);
    set(Point::upper_wishbone_outer, l.upper.centre + p.upper_radius);
    set(Point::track_rod_outer, p.lower_outer + p.steering_axis * l.steer_along + p.steering_radius);
    set(Point::wheel_centre, p.wheel_centre);
    at[static_cast<std::size_t>(g.strut_point)] = s.outer;
    if (g.has_rocker) {
        set(Point::pushrod_inner, l.rocker.centre + s.rocker_radius);
        set(Point::rocker_spring, s.spring);
    }
    const auto drop_link = static_cast<std::size_t>(g.drop_link_point);
    if (g.has_drop_link) at[drop_link] = drop_link_end(l, p, s, drop_link_on_carrier(parts, l));
    return at;
}

}  // namespace shimwise
