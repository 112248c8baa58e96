// Invented corners for the tests of motion: every body that can carry the strut, with and without rocker, left and
// right, every kind of adjuster; points shifted by a seed.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "shimwise/motion/rates.hpp"
#include "shimwise/motion/statics.hpp"

namespace corners {

using namespace shimwise;

/// Random numbers whose seed is a test's name and a case's index (FNV-1a), the same on every machine.
class Random {
public:
    Random(const std::string& name, int index) {
        std::uint32_t seed = 2166136261u;
        for (const char c : name + "/" + std::to_string(index))
            seed = (seed ^ static_cast<unsigned char>(c)) * 16777619u;
        engine_.seed(seed);
    }
    /// Even in [-size, size).
    double within(double size) { return size * (static_cast<double>((*this)()) / 2147483648.0 - 1.0); }
    Vec3<double> point_within(double size) {
        const double x = within(size), y = within(size);
        return {x, y, within(size)};
    }
    std::uint32_t operator()() { return static_cast<std::uint32_t>(engine_()); }
    std::mt19937& engine() { return engine_; }

private:
    std::mt19937 engine_;
};

inline double length(const Vec3<double>& v) { return std::sqrt(squared(v)); }
inline Vec3<double> unit(const Vec3<double>& v) { return v * (1.0 / length(v)); }
inline Vec3<double> mirrored(const Vec3<double>& v) { return {v.x, -v.y, v.z}; }

struct Kind {
    Body strut_on = Body::lower_wishbone;
    bool rocker = true;
    bool left = true;

    std::string name() const {
        return (left ? "left, " : "right, ") + std::string(rocker ? "pushrod" : "spring without rocker") + " on the " +
               std::string(body_names[index(strut_on)]);
    }
};

inline std::vector<Kind> kinds() {
    std::vector<Kind> all;
    for (const bool left : {true, false})
        for (const bool rocker : {true, false})
            for (const Body body : {Body::lower_wishbone, Body::upper_wishbone, Body::upright})
                all.push_back({body, rocker, left});
    return all;
}

inline void add(Corner& c, const std::string& name, std::vector<Change> changes) {
    c.adjusters.push_back({.name = name, .changes = std::move(changes), .setting = Thread{}});
}

inline void add_adjusters(Corner& c, const Kind& kind) {
    const Vec3<double> one = {1.0, 0.0, 0.0};
    add(c, "track rod", {{Length::track_rod, one}});
    if (kind.rocker) add(c, "pushrod", {{Length::pushrod, one}});
    add(c, "upper front leg", {{Length::upper_wishbone_front_leg, one}});
    add(c, "upper rear leg", {{Length::upper_wishbone_rear_leg, one}});
    add(c, "lower front leg", {{Length::lower_wishbone_front_leg, one}});
    add(c, "lower rear leg", {{Length::lower_wishbone_rear_leg, one}});
    const double in = kind.left ? -1.0 : 1.0;
    const auto shim = [&](const std::string& name, std::vector<Point> points, const Vec3<double>& direction) {
        std::vector<Change> changes;
        for (const Point p : points) changes.push_back({p, direction});
        add(c, name, changes);
    };
    shim("camber shim", {Point::upper_wishbone_outer}, {0.0, in, 0.0});
    // The bracket carries the track rod's joint, and the pushrod where that is on the upright.
    std::vector<Point> bracket = {Point::upper_wishbone_outer, Point::track_rod_outer};
    if (kind.strut_on == Body::upright) bracket.push_back(kind.rocker ? Point::pushrod_outer : Point::spring_outer);
    shim("bracket shim", bracket, unit({0.1, in, -0.05}));
    shim("lower joint shim", {Point::lower_wishbone_outer}, unit({-0.2, -in, 0.1}));
    shim("upper pickup shim", {Point::upper_wishbone_front, Point::upper_wishbone_rear}, unit({0.05, -in, 0.1}));
    shim("lower pickup shim", {Point::lower_wishbone_front}, {0.0, 0.0, 1.0});
    shim("steering shim", {Point::track_rod_inner}, {0.0, 0.0, 1.0});
    shim("hub shim", {Point::wheel_centre}, unit({0.1, -in, 0.2}));
    shim("spring shim", {Point::spring_chassis}, unit({0.1, in, 0.2}));
    if (kind.rocker) shim("rocker shim", {Point::rocker_axis_point}, unit({0.3, in, 0.4}));
    add(c, "drop link", {{Length::drop_link, one}});
    add(c, "spring platform", {{Length::spring_platform, one}});
}

/// The left corner shifted by a seed, or its mirror image.
inline Corner corner(const Kind& kind, int seed = 0, double shift_mm = 10.0) {
    Corner c;
    c.id = kind.left ? CornerId::front_left : CornerId::front_right;
    const auto set = [&c](Point p, const Vec3<double>& at) { c.points[index(p)] = at; };
    set(Point::upper_wishbone_front, {110.0, 270.0, 330.0});
    set(Point::upper_wishbone_rear, {-120.0, 265.0, 318.0});
    set(Point::upper_wishbone_outer, {-8.0, 575.0, 335.0});
    set(Point::lower_wishbone_front, {140.0, 215.0, 125.0});
    set(Point::lower_wishbone_rear, {-150.0, 220.0, 116.0});
    set(Point::lower_wishbone_outer, {4.0, 610.0, 112.0});
    set(Point::track_rod_inner, {70.0, 225.0, 150.0});
    set(Point::track_rod_outer, {84.0, 600.0, 146.0});
    set(Point::wheel_centre, {0.0, 640.0, 225.0});
    c.wheel_axis = unit({std::tan(0.1 * rad_per_deg), 1.0, std::tan(2.6 * rad_per_deg)});
    c.wheel = {.radius_mm = 255.0, .width_mm = 10.0, .offset_mm = 3.0, .flag_span_mm = 520.0};
    c.rack_direction = Vec3<double>{0.0, 1.0, 0.0};
    c.pushrod_outer_on = c.spring_outer_on = kind.strut_on;
    const bool upper = kind.strut_on == Body::upper_wishbone;
    if (kind.rocker && upper) {  // a pull rod
        set(Point::pushrod_outer, {2.0, 540.0, 345.0});
        set(Point::pushrod_inner, {10.0, 305.0, 135.0});
        set(Point::rocker_axis_point, {12.0, 255.0, 180.0});
        set(Point::rocker_spring, {6.0, 248.0, 112.0});
        set(Point::rocker_drop_link, {15.0, 262.0, 125.0});
        set(Point::spring_chassis, {0.0, 40.0, 118.0});
    } else if (kind.rocker) {
        set(Point::pushrod_outer, {0.0, kind.strut_on == Body::upright ? 585.0 : 565.0, 130.0});
        set(Point::pushrod_inner, {10.0, 330.0, 420.0});
        set(Point::rocker_axis_point, {10.0, 290.0, 400.0});
        set(Point::rocker_spring, {0.0, 300.0, 460.0});
        set(Point::rocker_drop_link, {10.0, 280.0, 450.0});
        set(Point::spring_chassis, {0.0, 60.0, 470.0});
    } else {
        set(Point::spring_outer, {0.0, kind.strut_on == Body::upright ? 585.0 : 520.0, upper ? 345.0 : 130.0});
        set(Point::spring_chassis, {5.0, 330.0, upper ? 560.0 : 430.0});
    }
    c.rocker_axis = unit({0.95, 0.12, 0.25});

    Random random(kind.name().substr(kind.name().find(',')), seed);
    if (seed != 0)
        for (auto& point : c.points) {
            const Vec3<double> shift = random.point_within(shift_mm);
            if (point) *point = *point + shift;
        }
    if (!kind.left) {
        for (auto& point : c.points)
            if (point) *point = mirrored(*point);
        c.wheel_axis = mirrored(c.wheel_axis);
        c.rocker_axis = mirrored(c.rocker_axis);
    }
    add_adjusters(c, kind);
    return c;
}

/// Parallel, level, equal wishbones; steering axis and wheel upright; drawn on the left. The spring stands on the lower
/// wishbone half way out, or a pushrod three quarters out works a right-angled rocker whose spring lies level.
inline Corner level_corner(bool rocker) {
    Corner c;
    const auto set = [&c](Point p, const Vec3<double>& at) { c.points[index(p)] = at; };
    set(Point::upper_wishbone_front, {100.0, 200.0, 350.0});
    set(Point::upper_wishbone_rear, {-100.0, 200.0, 350.0});
    set(Point::upper_wishbone_outer, {0.0, 600.0, 350.0});
    set(Point::lower_wishbone_front, {100.0, 200.0, 150.0});
    set(Point::lower_wishbone_rear, {-100.0, 200.0, 150.0});
    set(Point::lower_wishbone_outer, {0.0, 600.0, 150.0});
    set(Point::track_rod_inner, {80.0, 200.0, 200.0});
    set(Point::track_rod_outer, {80.0, 600.0, 200.0});
    set(Point::wheel_centre, {0.0, 640.0, 250.0});
    c.wheel_axis = {0.0, 1.0, 0.0};
    c.wheel = {.radius_mm = 250.0, .width_mm = 10.0, .offset_mm = 0.0, .flag_span_mm = 520.0};
    if (rocker) {
        set(Point::pushrod_outer, {0.0, 500.0, 150.0});
        set(Point::pushrod_inner, {0.0, 500.0, 450.0});
        set(Point::rocker_axis_point, {0.0, 450.0, 450.0});
        set(Point::rocker_spring, {20.0, 450.0, 510.0});
        set(Point::rocker_drop_link, {0.0, 430.0, 450.0});
        set(Point::spring_chassis, {20.0, 150.0, 510.0});
        c.rocker_axis = {1.0, 0.0, 0.0};
    } else {
        set(Point::spring_outer, {0.0, 400.0, 150.0});
        set(Point::spring_chassis, {0.0, 400.0, 450.0});
    }
    return c;
}

/// All adjusters turned by up to `amount_mm`, and the rack off centre; the same car on the left and on the right.
inline Setup turned(const Kind& kind, int seed, double amount_mm = 2.0, double rack_mm = 9.0) {
    Setup s = setup(corner(kind, seed), kind.left ? rack_mm : -rack_mm);
    Random random("amounts", seed);
    for (double& amount : s.amounts_mm) amount = random.within(amount_mm) + (random.within(1.0) < 0.0 ? -0.1 : 0.1);
    return s;
}

/// One adjuster turned by so much.
inline Setup with(const Kind& kind, const std::string& adjuster, double amount_mm) {
    const Corner c = corner(kind);
    Setup s = setup(c);
    s.amounts_mm[*c.find(adjuster)] = amount_mm;
    return s;
}

inline Linkage<double> linked(const Setup& s) { return linkage(s.geometry, s.parts()); }

/// A corner drawn upright, and the contact height at which its wheel, leaning either way, jumps onto its disc's edge.
inline Setup upright_corner(const Kind& kind) {
    Corner c = corner(kind);
    c.wheel_axis = {0.0, kind.left ? 1.0 : -1.0, 0.0};
    return setup(c);
}
inline double jump_height(const Setup& s, double lean_deg) {
    const auto inclination = [&](double travel_mm) {
        return outputs_at(
            s, {.what = Held::wheel},
            s.geometry.drawn.points[index(Point::wheel_centre)].z + travel_mm)[index(Output::inclination)];
    };
    double low = -5.0, high = 5.0;
    if (inclination(low) > inclination(high)) std::swap(low, high);
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (inclination(middle) < lean_deg ? low : high) = middle;
    }
    return present_value(s, {}, low);
}

/// A frame that leans every way; mirrored for the right side, so that both see the same.
inline Frame tilted(bool left = true) {
    const double side = left ? 1.0 : -1.0;
    Frame f;
    f.z = unit({0.02, 0.03 * side, 1.0});
    f.x = unit(Vec3<double>{1.0, 0.04 * side, 0.0} - f.z * (f.z.x + 0.04 * side * f.z.y));
    f.y = cross(f.z, f.x);
    return f;
}

inline const std::array<Held, 3>& holds() {
    static const std::array<Held, 3> all = {Held::wheel, Held::contact, Held::spring};
    return all;
}

}  // namespace corners
