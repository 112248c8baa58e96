#include "motion/equilibrium.hpp"

#include <cstdio>
#include <string>

#include "math/decompositions.hpp"
#include "shimwise/error.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise::equilibrium {
namespace {

using Matrix9 = Eigen::Matrix<double, 9, 9>;

/// Nine equations, linear in the unknowns; all zero in balance. Upright: force, moment; each wishbone: moment about its
/// pickup axis; rocker: moment about its axis, or without one the strut is the spring.
Unknowns equations(const State& s, const Unknowns& x, const Loads& loads) {
    const Bodies b = bodies(s, x, loads);
    const double per_mm = 1.0 / s.scale_mm;
    const auto about_pickups = [&](const Wishbone& w, const std::vector<Applied>& all) {
        return dot(s.pickup_axis(w), sum(all, s[w.front]).moment) * per_mm;
    };
    const Sum upright = sum(b.upright, s[Point::lower_wishbone_outer]);
    const Vec3<double> turning = upright.moment * per_mm;
    const double rocker = s.geometry.has_rocker
                              ? dot(s.geometry.rocker_axis, sum(b.rocker, s[Point::rocker_axis_point]).moment) * per_mm
                              : x(strut_pull) - x(spring_pull);
    Unknowns e;
    e << upright.force.x, upright.force.y, upright.force.z, turning.x, turning.y, turning.z,
        about_pickups(upper_wishbone, b.upper), about_pickups(lower_wishbone, b.lower), rocker;
    return e;
}

/// What the linkage cannot hold at its toggle.
std::string at_its_toggle(const State& s, Eigen::Index unknown) {
    const char* where = unknown < lower_joint      ? "at the upper wishbone's outer joint"
                        : unknown < track_rod_pull ? "at the lower wishbone's outer joint"
                        : unknown < strut_pull     ? "in the track rod"
                        : unknown < spring_pull && s.geometry.has_rocker
                            ? (s.geometry.pull_rod ? "in the pull rod" : "in the pushrod")
                            : "in the spring";
    char text[160];
    std::snprintf(text, sizeof text, "the linkage is at its toggle: a load makes more than %g times as much %s",
                  tolerances::largest_force, where);
    return text;
}

}  // namespace

State::State(const Setup& setup, const Solved& solved, const Vec3<double>& up) : geometry(setup.geometry) {
    const Parts<double> parts = setup.parts();
    const Linkage<double> l = linkage(geometry, parts);
    at = joints(parts, l, solved.pose, solved.strut);
    contact = shimwise::contact(l, solved.pose, up);
    scale_mm = 1.0 / l.upright_inverse;
}

Sum sum(const std::vector<Applied>& all, const Vec3<double>& about) {
    Sum s;
    for (const Applied& a : all) {
        s.force = s.force + a.force;
        s.moment = s.moment + cross(a.at - about, a.force);
    }
    return s;
}

Bearings bearings(const Vec3<double>& front, const Vec3<double>& rear, const std::vector<Applied>& all) {
    const Vec3<double> axis = direction(rear, front);
    const double per_mm = 1.0 / size(front - rear);
    const Sum about_front = sum(all, front), about_rear = sum(all, rear);
    return {cross(about_rear.moment, axis) * per_mm, cross(axis, about_front.moment) * per_mm,
            dot(axis, about_front.force)};
}

double Loads::size_N() const {
    double all = size(load_N);
    for (const Acting& a : more) all += size(a.force_N);
    return all;
}

Bodies bodies(const State& s, const Unknowns& x, const Loads& loads) {
    const auto pull = [&](Point on, Point toward, double tension_N) {
        return Applied{s[on], s.pull(on, toward, tension_N)};
    };
    const Applied up = {s[Point::upper_wishbone_outer], {x(upper_joint), x(upper_joint + 1), x(upper_joint + 2)}};
    const Applied low = {s[Point::lower_wishbone_outer], {x(lower_joint), x(lower_joint + 1), x(lower_joint + 2)}};
    Bodies b;
    b.upright = {
        {s.contact, loads.load_N}, up, low, pull(Point::track_rod_outer, Point::track_rod_inner, x(track_rod_pull))};
    b.upper = {{up.at, -up.force}};
    b.lower = {{low.at, -low.force}};
    b.at(s.geometry.strut_on).push_back(pull(s.strut_outer(), s.strut_inner(), x(strut_pull)));
    if (s.geometry.has_rocker)
        b.rocker = {pull(Point::pushrod_inner, s.strut_outer(), x(strut_pull)),
                    pull(Point::rocker_spring, Point::spring_chassis, x(spring_pull))};
    for (const Acting& a : loads.more) b.at(a.on).push_back({a.at_mm, a.force_N});
    return b;
}

/// The least singular value says how little load holds a state of force of size 1, and its vector which: none at a
/// toggle.
Unknowns solve(const State& s, const Loads& loads) {
    Matrix9 m;
    for (Eigen::Index j = 0; j < 9; ++j) m.col(j) = equations(s, Unknowns::Unit(j), {});
    const Gain gain = solve_with_least_gain(m, -equations(s, Unknowns::Zero(), loads));
    if (!(gain.least * tolerances::largest_force >= 1.0)) {
        Eigen::Index most = 0;
        gain.direction.cwiseAbs().maxCoeff(&most);
        throw OutOfReach(at_its_toggle(s, most));
    }
    return gain.x;
}

}  // namespace shimwise::equilibrium
