// Curves by laws that their code does not use: differences of places, virtual work, rigid motion of the upright.
#include "shimwise/motion/curves.hpp"

#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/differences.hpp"
#include "motion/sprung_corner.hpp"
#include "shimwise/motion/sweep.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

constexpr std::size_t row_count = output_count + curve_count;
using Rows = std::array<double, row_count>;

double value(const Rows& rows, Curve curve) { return rows[output_count + index(curve)]; }
double value(const Rows& rows, Output output) { return rows[index(output)]; }

Rows at(const Corner& c, double travel_mm, double rack_mm = 0.0) {
    Rows rows{};
    curves(c, std::array{travel_mm}, std::array{rack_mm}, rows.data());
    return rows;
}

std::array<double, 3> place(const Corner& c, Point point, double travel_mm, double rack_mm) {
    std::array<double, point_count * 3> block{};
    joints(c, std::array{travel_mm}, std::array{rack_mm}, block.data());
    return {block[index(point) * 3], block[index(point) * 3 + 1], block[index(point) * 3 + 2]};
}

struct Case {
    Corner corner;
    double travel_mm, rack_mm;
    std::string name;
};

std::vector<Case> cases(int seeds) {
    std::vector<Case> all;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds()) {
            Random random("curves", seed);
            const double travel_mm = random.within(20.0), rack_mm = random.within(10.0);
            all.push_back({sprung(kind, seed), travel_mm, rack_mm, kind.name() + ", seed " + std::to_string(seed)});
        }
    return all;
}

/// Equal parallel wishbones across the car, level: the contact goes straight up and the upright never turns.
Corner parallel() {
    Corner c = corner({});
    const auto set = [&c](Point p, const Vec3<double>& to) { c.points[index(p)] = to; };
    set(Point::upper_wishbone_front, {100.0, 250.0, 330.0});
    set(Point::upper_wishbone_rear, {-100.0, 250.0, 330.0});
    set(Point::upper_wishbone_outer, {0.0, 600.0, 330.0});
    set(Point::lower_wishbone_front, {100.0, 250.0, 130.0});
    set(Point::lower_wishbone_rear, {-100.0, 250.0, 130.0});
    set(Point::lower_wishbone_outer, {0.0, 600.0, 130.0});
    set(Point::track_rod_inner, {80.0, 250.0, 180.0});
    set(Point::track_rod_outer, {80.0, 600.0, 180.0});
    c.spring.load_at_drawn_N = 1000.0;
    return c;
}

}  // namespace

TEST_CASE("a curve's outputs are those of alignment") {
    for (const Case& k : cases(2)) {
        INFO(k.name);
        const Rows rows = at(k.corner, k.travel_mm, k.rack_mm);
        Outputs<double> out{};
        alignment(k.corner, std::array{k.travel_mm}, std::array{k.rack_mm}, out.data());
        for (std::size_t o = 0; o < output_count; ++o) CHECK_NEAR(rows[o], out[o], 1e-9);
    }
}

TEST_CASE("the roll centre is where a force through the contact does no work on its path") {
    const int seeds = test_size("roll centres, corners of each kind", 2, 20);
    for (const Case& k : cases(seeds)) {
        INFO(k.name);
        const auto path = [&](double more_mm) {
            const Rows r = at(k.corner, k.travel_mm + more_mm, k.rack_mm);
            return std::array{value(r, Output::half_track), -value(r, Output::chassis_height)};
        };
        const auto velocity = by_differences(0.1, path);
        const Rows now = at(k.corner, k.travel_mm, k.rack_mm);
        // From the contact to the roll centre on the centre plane: inboard by half the track, up by the height.
        const double work =
            -value(now, Output::half_track) * velocity[0] + value(now, Curve::roll_centre_height) * velocity[1];
        CHECK_NEAR(work / value(now, Output::half_track), 0.0, 1e-9);
    }
}

TEST_CASE("every point of the upright moves on the screw of the instant axis") {
    const int seeds = test_size("instant axes, corners of each kind", 2, 20);
    for (const Case& k : cases(seeds)) {
        INFO(k.name);
        const Rows r = at(k.corner, k.travel_mm, k.rack_mm);
        const Vec3<double> on_axis = {value(r, Curve::instant_axis_x), value(r, Curve::instant_axis_y),
                                      value(r, Curve::instant_axis_z)};
        const Vec3<double> along = {value(r, Curve::instant_axis_along_x), value(r, Curve::instant_axis_along_y),
                                    value(r, Curve::instant_axis_along_z)};
        const double pitch = value(r, Curve::instant_axis_pitch);
        CHECK_NEAR(length(along), 1.0, 1e-12);
        const auto of = [](const std::array<double, 3>& a) { return Vec3<double>(a[0], a[1], a[2]); };
        const auto here = [&](Point p) { return of(place(k.corner, p, k.travel_mm, k.rack_mm)); };
        const auto velocity = [&](Point p) {
            return of(
                by_differences(0.1, [&](double more) { return place(k.corner, p, k.travel_mm + more, k.rack_mm); }));
        };
        // The turn's size from one point, then every point: v = turn * (along x (p - axis) + along * pitch).
        const auto screw = [&](Point p) { return cross(along, here(p) - on_axis) + along * pitch; };
        const Vec3<double> wheel = screw(Point::wheel_centre);
        const double turn = dot(velocity(Point::wheel_centre), wheel) / squared(wheel);
        CHECK(turn > 0.0);
        for (const Point p :
             {Point::wheel_centre, Point::upper_wishbone_outer, Point::lower_wishbone_outer, Point::track_rod_outer})
            CHECK_NEAR(length(velocity(p) - screw(p) * turn), 0.0, 1e-9);
        CHECK_NEAR(dot(here(Point::wheel_centre) - on_axis, along), 0.0, 1e-6);  // nearest to the wheel centre
    }
}

TEST_CASE("the wheel rate is how the load at the contact grows as it rises") {
    const int seeds = test_size("wheel rates, corners of each kind", 2, 20);
    constexpr double h = 0.05;
    int smooth = 0;
    const std::vector<Case> all = cases(seeds);
    for (const Case& k : all) {
        INFO(k.name);
        // Rubber and helper have knees; no slope is to be had across one.
        const auto strut_rate = [&](double more_mm) {
            const Rows r = at(k.corner, k.travel_mm + more_mm, k.rack_mm);
            return (value(r, Curve::wheel_rate_spring) + value(r, Curve::wheel_rate_rubber)) /
                   std::pow(value(r, Output::motion_ratio), 2);
        };
        if (!(std::fabs(strut_rate(2.0 * h) / strut_rate(-2.0 * h) - 1.0) < 1e-9)) continue;
        ++smooth;
        const auto load = [&](double more_mm) {
            const Rows r = at(k.corner, k.travel_mm + more_mm, k.rack_mm);
            return std::array{
                (value(r, Curve::spring_load) + value(r, Curve::rubber_load)) * value(r, Output::motion_ratio),
                -value(r, Output::chassis_height), value(r, Output::motion_ratio)};
        };
        const auto rate = by_differences(h, load);
        const Rows now = at(k.corner, k.travel_mm, k.rack_mm);
        CHECK_NEAR(value(now, Curve::wheel_rate), rate[0] / rate[1], 1e-6 * std::fabs(rate[0] / rate[1]));
        CHECK_NEAR(value(now, Curve::motion_ratio_gain), rate[2] / rate[1], 1e-9);
        CHECK_NEAR(value(now, Curve::wheel_rate),
                   value(now, Curve::wheel_rate_spring) + value(now, Curve::wheel_rate_rubber) +
                       value(now, Curve::wheel_rate_load),
                   1e-12);
    }
    CHECK(smooth > static_cast<int>(0.9 * static_cast<double>(all.size())));
}

TEST_CASE("contact and wheelbase are counted from travel and rack zero, at the front and at the rear") {
    for (const CornerId id : {CornerId::front_left, CornerId::rear_left}) {
        Corner c = sprung({}, 3);
        c.id = id;
        const Rows zero = at(c, 0.0), now = at(c, 18.0, -6.0);
        CHECK(value(zero, Curve::wheelbase_change) == 0.0);
        const double forward = value(now, Curve::contact_x) - value(zero, Curve::contact_x);
        CHECK(std::fabs(forward) > 0.01);
        CHECK_NEAR(value(now, Curve::wheelbase_change), id == CornerId::front_left ? forward : -forward, 1e-12);
    }
}

TEST_CASE("left and right curves are mirror images") {
    for (const Kind& kind : kinds()) {
        if (!kind.left) continue;
        Kind right = kind;
        right.left = false;
        for (int seed = 0; seed < 2; ++seed) {
            const Rows a = at(sprung(kind, seed), 12.0, 5.0), b = at(sprung(right, seed), 12.0, -5.0);
            for (std::size_t i = 0; i < row_count; ++i) {
                const bool y = i == output_count + index(Curve::instant_axis_y);
                const bool turned_over = i == output_count + index(Curve::instant_axis_along_x) ||
                                         i == output_count + index(Curve::instant_axis_along_z) ||
                                         i == output_count + index(Curve::instant_axis_pitch);
                INFO(kind.name() << ", row " << i);
                CHECK_NEAR(y || turned_over ? -a[i] : a[i], b[i], 1e-7 * (1.0 + std::fabs(b[i])));
            }
        }
    }
}

TEST_CASE("equal parallel level wishbones: roll centre in the ground, and no axis to turn about") {
    const Rows r = at(parallel(), 0.0);
    CHECK_NEAR(value(r, Curve::roll_centre_height), 0.0, 1e-9);
    CHECK(std::isinf(value(r, Curve::instant_axis_y)));
    CHECK(value(r, Curve::instant_axis_along_x) == 0.0);
}

TEST_CASE("wishbones whose planes meet: the roll centre is on the line from the contact to where they meet") {
    // In the plane across the car the wishbones' lines meet at (y, z) = (-600, 230): the instant axis, along x there.
    Corner c = parallel();
    const auto tilt = [&](Point p) {
        Vec3<double>& at = *c.points[index(p)];
        at.z = 230.0 + (at.z - 230.0) * (at.y + 600.0) / 1200.0;
    };
    for (const Point p : {Point::upper_wishbone_front, Point::upper_wishbone_rear, Point::lower_wishbone_front,
                          Point::lower_wishbone_rear, Point::track_rod_inner})
        tilt(p);
    c.wheel_axis = {0.0, 1.0, 0.0};
    c.wheel.width_mm = 0.0;
    const Rows r = at(c, 0.0);
    CHECK_NEAR(value(r, Curve::instant_axis_y), -600.0, 1e-6);
    CHECK_NEAR(value(r, Curve::instant_axis_z), 230.0, 1e-6);
    CHECK_NEAR(std::fabs(value(r, Curve::instant_axis_along_x)), 1.0, 1e-12);
    const double ground = 225.0 - 255.0, half_track = 643.0;
    CHECK_NEAR(value(r, Output::half_track), half_track, 1e-9);
    CHECK_NEAR(value(r, Curve::roll_centre_height), (230.0 - ground) * half_track / (half_track + 600.0), 1e-6);
}
