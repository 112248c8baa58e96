// Published linkages through the position stage: lower wishbone's angle in, pose out; its angle in, rocker's angle out.
// Tags: SEEN = read in a public source; DERIVED = closed form, two independent ways; RECALL = from memory, then
// recomputed.
#include <cmath>
#include <iostream>
#include <optional>
#include <utility>

#include "catch.hpp"
#include "motion/rigid_motion.hpp"
#include "shimwise/motion/position.hpp"

using namespace shimwise;

namespace {

const RigidMotion arbitrary = {Vec3<double>{2.0 / 7.0, -3.0 / 7.0, 6.0 / 7.0}, 1.234, {310.0, -120.0, 75.0}};

/// A four-bar linkage: input crank about `input_centre`, output crank about `output_centre`, a coupler between their
/// ends.
struct FourBar {
    double input = 0.0, output = 0.0;  // lengths of the cranks
    std::array<double, 2> input_centre{}, output_centre{};
};

std::array<double, 2> end(const std::array<double, 2>& centre, double radius, double angle_deg) {
    return {centre[0] + radius * std::cos(angle_deg * rad_per_deg),
            centre[1] + radius * std::sin(angle_deg * rad_per_deg)};
}

/// As a corner whose wishbones turn about parallel axes: input = lower, output = upper wishbone, coupler = upright.
class PlanarCorner {
public:
    PlanarCorner(const FourBar& bars, double input_deg, double output_deg, const RigidMotion& motion = {})
        : motion_(motion), drawn_deg_(input_deg) {
        Corner c;
        const auto set = [&](Point p, double x, const std::array<double, 2>& in_plane) {
            c.points[index(p)] = motion({x, in_plane[0], in_plane[1]});
        };
        const auto a = end(bars.input_centre, bars.input, input_deg);
        const auto b = end(bars.output_centre, bars.output, output_deg);
        set(Point::lower_wishbone_front, -6.0, bars.input_centre);
        set(Point::lower_wishbone_rear, 6.0, bars.input_centre);
        set(Point::lower_wishbone_outer, 0.0, a);
        set(Point::upper_wishbone_front, -4.0, bars.output_centre);
        set(Point::upper_wishbone_rear, 5.0, bars.output_centre);
        set(Point::upper_wishbone_outer, 0.0, b);
        set(Point::track_rod_inner, 3.0, {bars.input_centre[0] + 1.0, bars.input_centre[1] + 1.0});
        set(Point::track_rod_outer, 3.0, {a[0] + 0.5, a[1] + 0.5});
        set(Point::wheel_centre, 0.0, {0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])});
        set(Point::spring_outer, 0.0, a);
        set(Point::spring_chassis, 1.0, bars.output_centre);
        c.wheel_axis = motion.turn({0.0, 1.0, 0.0});
        geometry_ = geometry(c);
        linkage_ = linkage(geometry_, parts<double>(geometry_, nullptr, 0.0));
    }
    PlanarCorner(const PlanarCorner&) = delete;
    PlanarCorner& operator=(const PlanarCorner&) = delete;

    /// Output angle in [0, 360), or nothing where the linkage does not close.
    std::optional<double> output_deg(double input_deg) const {
        const Pose<double> p = pose(linkage_, std::tan(0.5 * (input_deg - drawn_deg_) * rad_per_deg));
        if (!(p.upper_room > 0.0)) return std::nullopt;
        const double angle = std::atan2(dot(p.upper_radius, motion_.turn({0.0, 0.0, 1.0})),
                                        dot(p.upper_radius, motion_.turn({0.0, 1.0, 0.0}))) *
                             deg_per_rad;
        return angle < 0.0 ? angle + 360.0 : angle;
    }

private:
    RigidMotion motion_;
    double drawn_deg_;
    Geometry geometry_;
    Linkage<double> linkage_;
};

/// Half a unit of the sixth digit, as printed.
double printed(double value) { return 0.501 * std::pow(10.0, std::floor(std::log10(value)) - 5.0); }

}  // namespace

// Public answer to a MathGroup question on a planar double wishbone, 6 digits (SEEN); full precision DERIVED.
TEST_CASE("planar four-bar, 19 positions of both assemblies", "[published]") {
    constexpr std::array<std::array<double, 3>, 19> rows = {{{0, 0, 277.628},
                                                             {5, 8.14157, 279.009},
                                                             {10, 16.3816, 281.034},
                                                             {15, 24.8218, 283.798},
                                                             {20, 33.5778, 287.445},
                                                             {25, 42.7897, 292.171},
                                                             {30, 52.6316, 298.233},
                                                             {35, 63.3125, 305.928},
                                                             {40, 75.0545, 315.54},
                                                             {45, 88.0132, 327.201},
                                                             {50, 102.111, 340.683},
                                                             {55, 116.839, 355.264},
                                                             {60, 9.92425, 131.266},
                                                             {65, 23.8027, 144.4},
                                                             {70, 36.4951, 155.625},
                                                             {75, 47.9915, 164.805},
                                                             {80, 58.473, 172.123},
                                                             {85, 68.1628, 177.873},
                                                             {90, 77.2632, 182.348}}};
    const FourBar bars = {.input = 13.0, .output = 8.0, .input_centre = {0.0, 0.0}, .output_centre = {5.0, 7.0}};
    // Each assembly as drawn at 90 degrees; the table is sorted by output, so the columns swap at 60.
    const PlanarCorner rising(bars, 90.0, 182.34789787909133), returning(bars, 90.0, 77.26324430543906);
    for (const auto& [input, first, second] : rows) {
        INFO("input " << input);
        const bool swapped = input >= 60.0;
        const double a = *rising.output_deg(input), b = *returning.output_deg(input);
        if (input > 0.0)
            CHECK_NEAR(a, swapped ? second : first, printed(swapped ? second : first));
        else
            CHECK_NEAR(std::sin(a * rad_per_deg), 0.0, 1e-12);
        CHECK_NEAR(b, swapped ? first : second, printed(swapped ? first : second));
    }
    CHECK_NEAR(*rising.output_deg(30.0), 52.63157459472272, 1e-11);
    CHECK_NEAR(*returning.output_deg(30.0), 298.23270770207057, 1e-11);
    CHECK_NEAR(*rising.output_deg(90.0), 182.34789787909133, 1e-11);
    CHECK_NEAR(*returning.output_deg(90.0), 77.26324430543906, 1e-11);

    // The branch keeps its assembly: 116.839 -> 131.266, never 9.924.
    double last = *rising.output_deg(55.0);
    CHECK_NEAR(last, 116.839, 5.01e-4);
    for (int i = 1; i <= 50; ++i) {
        const double now = *rising.output_deg(55.0 + 0.1 * i);
        CHECK(now > last);
        CHECK(now < last + 0.4);
        last = now;
    }
    CHECK_NEAR(last, 131.266, 5.01e-4);
    CHECK_FALSE(rising.output_deg(-170.0).has_value());
}

// Norton, Design of Machinery, Example 4-1: lengths SEEN, answers RECALL and recomputed. Freudenstein, Trans. ASME 77
// (1955): K1 cos(theta4) - K2 cos(theta2) + K3 = cos(theta2 - theta4).
TEST_CASE("Norton's four-bar, in its plane and after an arbitrary rigid motion", "[published]") {
    constexpr double a = 40.0, b = 120.0, c = 80.0, d = 100.0;
    const FourBar bars = {.input = a, .output = c, .input_centre = {0.0, 0.0}, .output_centre = {d, 0.0}};
    const double K1 = d / a, K2 = d / c, K3 = (a * a - b * b + c * c + d * d) / (2.0 * a * c);
    // Drawn at theta2 = 90 deg, where Freudenstein's equation is K1 cos + K3 = sin: two roots in closed form.
    const double size = std::hypot(K1, 1.0), tilt = std::atan2(1.0, K1);
    const double open = (std::acos(-K3 / size) - tilt) * deg_per_rad;
    const double crossed = (-std::acos(-K3 / size) - tilt) * deg_per_rad;
    double worst = 0.0;
    for (const RigidMotion& motion : {RigidMotion{}, arbitrary})
        for (const bool is_open : {true, false}) {
            const PlanarCorner corner(bars, 90.0, is_open ? open : crossed, motion);
            CHECK_NEAR(*corner.output_deg(40.0), is_open ? 57.3248800704 : 360.0 - 98.0049640780, 1e-10);
            for (int theta2 = -85; theta2 <= 265; theta2 += 5) {
                INFO("theta2 = " << theta2);
                const double theta4 = *corner.output_deg(theta2) * rad_per_deg, in = theta2 * rad_per_deg;
                const double off = K1 * std::cos(theta4) - K2 * std::cos(in) + K3 - std::cos(in - theta4);
                CHECK(std::fabs(off) <= 1e-12);
                worst = std::max(worst, std::fabs(off));
            }
        }
    std::cout << "Freudenstein's equation holds to " << worst << "\n";
}

namespace {

/// McCarthy & Soh's spatial RSSR as a corner: the lower wishbone carries the pushrod, the rocker's axis is oblique.
Geometry rssr() {
    Corner c;
    const auto set = [&](Point p, const Vec3<double>& at) { c.points[index(p)] = at; };
    set(Point::lower_wishbone_front, {-100.0, 0.0, 0.0});
    set(Point::lower_wishbone_rear, {100.0, 0.0, 0.0});
    set(Point::lower_wishbone_outer, {5.0, 600.0, 10.0});
    set(Point::upper_wishbone_front, {-90.0, 60.0, 240.0});
    set(Point::upper_wishbone_rear, {90.0, 60.0, 240.0});
    set(Point::upper_wishbone_outer, {0.0, 570.0, 250.0});
    set(Point::track_rod_inner, {70.0, 60.0, 60.0});
    set(Point::track_rod_outer, {80.0, 590.0, 70.0});
    set(Point::wheel_centre, {0.0, 640.0, 130.0});
    set(Point::pushrod_outer, {0.0, 330.0, 20.0});
    set(Point::pushrod_inner, {-30.0, 260.0, 340.0});
    set(Point::rocker_axis_point, {0.0, 200.0, 300.0});
    set(Point::rocker_spring, {0.0, 210.0, 370.0});
    set(Point::spring_chassis, {0.0, -50.0, 380.0});
    c.wheel_axis = {0.0, 1.0, 0.0};
    c.rocker_axis = {0.8, 0.0, 0.6};
    return geometry(c);
}

Strut<double> at_angle(const Linkage<double>& l, double theta_deg) {
    return strut(l, pose(l, std::tan(0.5 * theta_deg * rad_per_deg)));
}

double psi_deg(const Linkage<double>& l, double theta_deg) {
    const Vec3<double> axis = {0.8, 0.0, 0.6},
                       from = Vec3<double>{-30.0, 260.0, 340.0} - Vec3<double>{0.0, 200.0, 300.0};
    const Vec3<double> zero = from - axis * dot(from, axis);
    const Vec3<double> now = at_angle(l, theta_deg).rocker_radius;
    return std::atan2(dot(axis, cross(zero, now)), dot(zero, now)) * deg_per_rad;
}

}  // namespace

// McCarthy & Soh, Geometric Design of Linkages, appendix A: A cos psi + B sin psi = C (formula SEEN); the case DERIVED.
TEST_CASE("pushrod and rocker as a spatial four-bar between two spherical joints", "[published]") {
    const Geometry as_drawn = rssr();
    Geometry other = as_drawn;
    other.rocker_side = -as_drawn.rocker_side;
    const Linkage<double> l = linkage(as_drawn, parts<double>(as_drawn, nullptr, 0.0));
    const Linkage<double> l_other = linkage(other, parts<double>(other, nullptr, 0.0));
    CHECK_NEAR(as_drawn.drawn.lengths[index(Length::pushrod)], 328.93768406797057, 1e-12);

    CHECK_NEAR(psi_deg(l, -10.0), -51.77740628, 5.01e-9);
    CHECK_NEAR(psi_deg(l_other, -10.0), -156.95995621, 5.01e-9);
    CHECK_NEAR(psi_deg(l, -5.0), -25.62563549, 5.01e-9);
    CHECK_NEAR(psi_deg(l, 0.0), 0.0, 1e-11);
    CHECK_NEAR(psi_deg(l_other, 0.0), 160.646943, 5.01e-7);
    CHECK_NEAR(psi_deg(l, 5.0), 30.3610966, 5.01e-8);

    // A cos psi + B sin psi = C at every angle: with the pushrod's lower end p, the rocker's circle c + u cos psi + w
    // sin psi and q = p - c, the pushrod's length L gives 2 q.u cos psi + 2 q.w sin psi = |u|^2 + |q|^2 - L^2.
    const Vec3<double> axis = {0.8, 0.0, 0.6};
    const Vec3<double> base = {0.0, 200.0, 300.0}, from = Vec3<double>{-30.0, 260.0, 340.0} - base;
    const Vec3<double> centre = base + axis * dot(from, axis), u = from - axis * dot(from, axis), w = cross(axis, u);
    const double L2 = 328.93768406797057 * 328.93768406797057;
    double toggle_low = 5.0, toggle_high = 10.0;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (toggle_low + toggle_high);
        (at_angle(l, middle).room > 0.0 ? toggle_low : toggle_high) = middle;
    }
    CHECK_NEAR(toggle_low, 8.905758210692502, 1e-9);
    int open = 0;
    for (double theta = -40.0; theta < 40.0; theta += 0.5) {
        INFO("theta = " << theta);
        const double angle = theta * rad_per_deg;
        const Vec3<double> p = {0.0, 330.0 * std::cos(angle) - 20.0 * std::sin(angle),
                                330.0 * std::sin(angle) + 20.0 * std::cos(angle)};
        const Vec3<double> q = p - centre;
        const double A = 2.0 * dot(q, u), B = 2.0 * dot(q, w), C = squared(u) + squared(q) - L2;
        CHECK((at_angle(l, theta).room > 0.0) == (A * A + B * B > C * C));
        open += A * A + B * B < C * C;
        if (A * A + B * B < C * C) continue;
        for (const Linkage<double>* side : {&l, &l_other}) {
            const double psi = psi_deg(*side, theta) * rad_per_deg;
            CHECK_NEAR(A * std::cos(psi) + B * std::sin(psi), C, 1e-8);  // of terms of 3e4
        }
    }

    CHECK(open > 60);

    // d psi / d theta at 0, through the spring: its rate over its lever about the rocker's axis.
    const Pose<double> p0 = pose(l, 0.0);
    const Strut<double> s0 = strut(l, p0);
    const double lever = dot(s0.spring - l.spring_chassis, cross(axis, s0.spring - l.rocker.centre)) / s0.spring_length;
    CHECK_NEAR(spring_rate(l, p0, s0, null_motion(l, p0)) / lever, 5.366098294884654, 1e-12);

    // Beyond the toggle: the state names the loop and the amount.
    const Pose<double> beyond = pose(l, std::tan(5.0 * rad_per_deg));
    CHECK(strut(l, beyond).room < 0.0);
    const Solved solved = solve(l, {.what = Held::wheel}, beyond.wheel_centre.z);
    CHECK(solved.status == Status::pushrod_open);
    CHECK(solved.short_by_mm < -1.0);  // the pushrod is too long to pass there
    Geometry longer = as_drawn;
    longer.drawn.lengths[index(Length::pushrod)] += solved.short_by_mm * 1.000001;
    const Linkage<double> closes = linkage(longer, parts<double>(longer, nullptr, 0.0));
    CHECK(solve(closes, {.what = Held::wheel}, beyond.wheel_centre.z).status == Status::ok);
    const Solved far = solve(l, {.what = Held::spring}, 1e4);
    CHECK(far.status == Status::out_of_reach);
}

// Haug, Computer Aided Kinematics and Dynamics, 1989, 12.2: crank 80 mm about an axis along the slider's line, 100 mm
// beside it and 120 mm over it (inputs SEEN), rod 300 mm (RECALL); the slider's place DERIVED:
// x^2 = 0.09 - (0.1 - 0.08 sin t)^2 - (0.12 + 0.08 cos t)^2. A slider held there finds its crank again.
TEST_CASE("spatial slider-crank, the crank found from the slider", "[published]") {
    constexpr std::array<std::array<double, 2>, 4> rows = {
        {{30.0, 0.22488288562569356}, {90.0, 0.27422618401604176}, {180.0, 0.28}, {270.0, 0.20784609690826528}}};
    constexpr double crank = 80.0, rod = 300.0, beside = 100.0, over = 120.0;
    // Where the crank points at the slider's line, the slider goes no further.
    const double dead_centre = std::sqrt(rod * rod - std::pow(std::hypot(beside, over) - crank, 2.0));
    const double t_dead_deg = std::atan2(beside, -over) * deg_per_rad;
    for (const RigidMotion& motion : {RigidMotion{}, arbitrary}) {
        const Circle<double> circle = {motion({0.0, beside, over}), motion.turn({1.0, 0.0, 0.0}), crank * crank};
        const auto pin = [&](double x, double side) { return meet(circle, motion({x, 0.0, 0.0}), rod * rod, side); };
        for (const auto& [t_deg, x_m] : rows) {
            INFO("crank at " << t_deg << " deg, slider at " << x_m << " m");
            const Meeting<double> found = pin(1e3 * x_m, t_deg < t_dead_deg ? -1.0 : 1.0);
            CHECK(found.room > 0.0);
            const double t = std::atan2(-dot(found.radius, motion.turn({0.0, 1.0, 0.0})),
                                        dot(found.radius, motion.turn({0.0, 0.0, 1.0})));
            CHECK_NEAR(std::remainder(t * deg_per_rad - t_deg, 360.0), 0.0, 1e-11);
        }
        CHECK(pin(dead_centre - 1e-6, 1.0).room > 0.0);
        CHECK(pin(dead_centre + 1e-6, 1.0).room < 0.0);
    }
}
