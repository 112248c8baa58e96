// Definitions of ISO 8855 and a published relation of caster to camber, through public functions. Tags: SEEN = read in
// a public source; DERIVED = closed form, two independent ways.
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using corners::mirrored;
using corners::unit;

namespace {

Outputs<double> as_drawn(const Corner& c, const Frame& frame = {}) {
    const Setup s = setup(c);
    return outputs_at(s, {.what = Held::wheel}, present_value(s, {.what = Held::wheel}), frame);
}

/// A left corner with this wheel axis, or its mirror image on the right.
Corner with_axis(const Vec3<double>& axis, bool left) {
    Corner c = corners::corner({.left = left});
    c.wheel_axis = left ? unit(axis) : mirrored(unit(axis));
    return c;
}

/// A left corner with this steering axis through its outer joints, or its mirror image.
Corner with_steering_axis(const Vec3<double>& lower, const Vec3<double>& upper, bool left) {
    Corner c = corners::corner({.left = left});
    c.points[index(Point::lower_wishbone_outer)] = left ? lower : mirrored(lower);
    c.points[index(Point::upper_wishbone_outer)] = left ? upper : mirrored(upper);
    return c;
}

double output(const Outputs<double>& out, Output o) { return out[index(o)]; }

}  // namespace

// ISO 8855:2011, 7.1.6, 7.1.7 and 7.1.3 (SEEN): signs of toe and camber, the same sense on both sides.
TEST_CASE("signs of toe and camber, left and right", "[published]") {
    for (const bool left : {true, false}) {
        const Outputs<double> toe_in = as_drawn(with_axis({0.01, 1.0, 0.0}, left));
        CHECK_NEAR(output(toe_in, Output::toe), 0.572938697683486, 1e-10);  // atan(0.01)
        CHECK_NEAR(output(toe_in, Output::camber), 0.0, 1e-10);
        const Outputs<double> outboard = as_drawn(with_axis({0.0, 1.0, -0.01}, left));
        CHECK_NEAR(output(outboard, Output::camber), 0.572938697683486, 1e-10);
        CHECK_NEAR(output(outboard, Output::inclination), 0.572938697683486, 1e-10);
        CHECK_NEAR(output(outboard, Output::toe), 0.0, 1e-10);
    }
}

// DERIVED: camber is the projected angle, inclination the true one; they part by 0.07 seconds of arc at 0.2 deg of toe
// and by 0.2 deg at 20 deg of lock, both at 3 deg.
TEST_CASE("camber and inclination part with toe", "[published]") {
    for (const bool left : {true, false})
        for (const double toe : {0.2, 20.0}) {
            const double c = std::tan(3.0 * rad_per_deg), t = std::tan(toe * rad_per_deg);
            const Outputs<double> out = as_drawn(with_axis({t, 1.0, c}, left));
            CHECK_NEAR(output(out, Output::toe), toe, 1e-10);
            CHECK_NEAR(output(out, Output::camber), -3.0, 1e-10);
            const double inclination = -std::asin(c / std::sqrt(1.0 + t * t + c * c)) * deg_per_rad;
            CHECK_NEAR(output(out, Output::inclination), inclination, 1e-10);
            const double apart = output(out, Output::inclination) - output(out, Output::camber);
            if (toe < 1.0)
                CHECK_NEAR(apart * 3600.0, 0.07, 0.01);
            else
                CHECK_NEAR(apart, 0.2, 0.03);
        }
}

// Signs of the steering axis as ISO 8855 has them (SEEN); trail along x, scrub along y of the frame (DERIVED).
TEST_CASE("signs of caster, kingpin inclination, trail and scrub, left and right", "[published]") {
    for (const bool left : {true, false}) {
        Corner c = with_steering_axis({4.0, 610.0, 112.0}, {-8.0, 575.0, 335.0}, left);  // top rearward and inboard
        c.wheel_axis = {0.0, left ? 1.0 : -1.0, 0.0};
        c.wheel = {.radius_mm = 255.0, .width_mm = 10.0, .offset_mm = 3.0, .flag_span_mm = 520.0};
        const Outputs<double> out = as_drawn(c);
        CHECK_NEAR(output(out, Output::caster), std::atan(12.0 / 223.0) * deg_per_rad, 1e-10);
        CHECK_NEAR(output(out, Output::kingpin_inclination), std::atan(35.0 / 223.0) * deg_per_rad, 1e-10);
        // Contact: straight below the wheel centre at (0, 640 + 3, 225 - 255 = -30): the wheel is upright.
        const double down = (112.0 + 30.0) / 223.0;
        CHECK_NEAR(output(out, Output::trail), 4.0 + 12.0 * down, 1e-10);  // the axis meets the ground ahead
        CHECK_NEAR(output(out, Output::scrub), 643.0 - (610.0 + 35.0 * down), 1e-10);  // the contact is outboard of it
        CHECK_NEAR(output(out, Output::half_track), 643.0, 1e-10);
        CHECK_NEAR(output(out, Output::chassis_height), 30.0, 1e-10);
        CHECK(output(out, Output::trail) > 0.0);
        CHECK(output(out, Output::scrub) < 33.0);

        const Outputs<double> forward = as_drawn(with_steering_axis({-8.0, 575.0, 112.0}, {4.0, 610.0, 335.0}, left));
        CHECK(output(forward, Output::caster) < 0.0);
        CHECK(output(forward, Output::kingpin_inclination) < 0.0);

        // Raked by 0.5 deg, nose down, the axis' top goes forward: caster falls one for one.
        const double rake = 0.5 * rad_per_deg;
        const Frame nose_down = {.x = {std::cos(rake), 0.0, std::sin(rake)},
                                 .z = {-std::sin(rake), 0.0, std::cos(rake)}};
        CHECK_NEAR(output(as_drawn(c, nose_down), Output::caster), output(out, Output::caster) - 0.5, 1e-10);
    }
}

// Society of Automotive Engineers paper 850219 as publicly summarised (SEEN: at +-10 deg of steer 2.8648 degrees of
// caster per degree of camber change). The exact form is DERIVED for any rigid upright that turns about its axis:
// tan(caster) = [sin C(-T) - sin C(T) + tan(kpi) cos T (cos C(-T) - cos C(T))] / [sin T (cos C(T) + cos C(-T))],
// C the inclination at the wheel's own steer T, + = its own toe-in.
TEST_CASE("caster out of the camber at two steer angles", "[published]") {
    double worst = 0.0, worst_linear = 0.0;
    for (const bool left : {true, false})
        for (const int seed : {0, 1, 2}) {
            // The strut sits on a wishbone: with the spring held the steering axis stays, the rack turns the upright.
            const Setup straight = setup(corners::corner({Body::lower_wishbone, true, left}, seed));
            const Hold hold = {.what = Held::spring};
            const double value = present_value(straight, hold);
            const auto steered = [&](double toe_deg) {
                Setup s = straight;
                const auto toe_at = [&](double rack_mm) {
                    s.rack_mm = rack_mm;
                    return output(outputs_at(s, hold, value), Output::toe);
                };
                double low = left ? -45.0 : 45.0, high = -low;
                if (toe_at(low) > toe_at(high)) std::swap(low, high);
                for (int i = 0; i < 60; ++i) {
                    const double middle = 0.5 * (low + high);
                    (toe_at(middle) < toe_deg ? low : high) = middle;
                }
                CHECK_NEAR(toe_at(low), toe_deg, 1e-9);
                return outputs_at(s, hold, value);
            };
            const Outputs<double> now = outputs_at(straight, hold, value);
            const double caster = output(now, Output::caster), kpi = output(now, Output::kingpin_inclination);
            for (const double T : {5.0, 10.0, 15.0, 20.0}) {
                INFO((left ? "left" : "right") << ", seed " << seed << ", steer " << T);
                const Outputs<double> in = steered(T), out = steered(-T);
                CHECK_NEAR(output(in, Output::caster), caster, 1e-11);
                const double a = output(in, Output::inclination) * rad_per_deg;
                const double b = output(out, Output::inclination) * rad_per_deg;
                const double t = T * rad_per_deg;
                const double exact =
                    std::atan((std::sin(b) - std::sin(a) +
                               std::tan(kpi * rad_per_deg) * std::cos(t) * (std::cos(b) - std::cos(a))) /
                              (std::sin(t) * (std::cos(a) + std::cos(b)))) *
                    deg_per_rad;
                CHECK_NEAR(exact, caster, 1e-9);
                worst = std::max(worst, std::fabs(exact - caster));
                if (T != 10.0) continue;
                const double linear = 2.8648 * (b - a) * deg_per_rad;
                CHECK_NEAR(linear, caster, 0.1);
                worst_linear = std::max(worst_linear, std::fabs(linear - caster));
            }
        }
    std::cout << "caster from camber: exact form to " << worst << " deg, linear to " << worst_linear << " deg\n";
}
