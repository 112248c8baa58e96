// Laws of a corner that the algorithm does not use.
#include <algorithm>
#include <cmath>
#include <iostream>
#include <optional>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "motion/rigid_motion.hpp"
#include "shimwise/error.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

using Joints = std::array<Vec3<double>, point_count>;

/// `solve` with words for the log.
Solved solved_at(const Setup& s, const Hold& hold, double value, double start = 0.0) {
    const Solved solved = solve(linked(s), hold, value, start);
    INFO(in_words(solved, linked(s), hold));
    REQUIRE(solved.status == Status::ok);
    return solved;
}

Joints joints_of(const Setup& s, const Solved& solved) {
    return joints(s.parts(), linked(s), solved.pose, solved.strut);
}

/// The reachable range of what is held.
struct Reach {
    double lowest, highest;
};
Reach reach(const Linkage<double>& l, const Hold& hold) {
    const Solved s = solve(l, hold, 1e6);
    REQUIRE(s.status == Status::out_of_reach);
    return {s.lowest, s.highest};
}

std::vector<double> even(double low, double high, int count) {
    std::vector<double> values;
    for (int i = 0; i < count; ++i) values.push_back(low + (high - low) * i / (count - 1));
    return values;
}

double apart(const Vec3<double>& a, const Vec3<double>& b) { return length(a - b); }

double worst_apart(const Joints& a, const Joints& b) {
    double worst = 0.0;
    for (std::size_t i = 0; i < point_count; ++i) worst = std::max(worst, apart(a[i], b[i]));
    return worst;
}

/// By how much a pose breaks what a corner's parts keep: links, the upright, the wishbones, the rocker; mm.
double broken_mm(const Setup& s, const Solved& solved) {
    const Geometry& g = s.geometry;
    const Parts<double> parts = s.parts();
    const Joints at = joints_of(s, solved);
    double worst = 0.0;
    const auto keep = [&](double now, double kept) { worst = std::max(worst, std::fabs(now - kept)); };
    const auto gap = [&](Point a, Point b) { return apart(at[index(a)], at[index(b)]); };
    using enum Point;
    keep(gap(upper_wishbone_front, upper_wishbone_outer), parts.at(Length::upper_wishbone_front_leg));
    keep(gap(upper_wishbone_rear, upper_wishbone_outer), parts.at(Length::upper_wishbone_rear_leg));
    keep(gap(lower_wishbone_front, lower_wishbone_outer), parts.at(Length::lower_wishbone_front_leg));
    keep(gap(lower_wishbone_rear, lower_wishbone_outer), parts.at(Length::lower_wishbone_rear_leg));
    keep(gap(track_rod_inner, track_rod_outer), parts.at(Length::track_rod));

    std::vector<Point> upright = {upper_wishbone_outer, lower_wishbone_outer, track_rod_outer, wheel_centre};
    const auto strut = static_cast<Point>(g.strut_point);
    if (g.strut_on == Body::upright) upright.push_back(strut);
    const auto rigid = [&](const std::vector<Point>& body, const Joints& drawn) {
        for (const Point a : body)
            for (const Point b : body) keep(gap(a, b), apart(drawn[index(a)], drawn[index(b)]));
        const auto volume = [&](const Joints& p) {
            const auto from = [&](std::size_t i) { return p[index(body[i])] - p[index(body[0])]; };
            return dot(from(1), cross(from(2), from(3))) * 1e-4;
        };
        if (body.size() >= 4) keep(volume(at), volume(drawn));  // not its mirror image
    };
    rigid(upright, parts.points);
    // The wheel's axis is fixed to the upright: so is a point on it.
    for (const Point p : upright)
        keep(apart(solved.pose.wheel_centre + solved.pose.wheel_axis * 100.0, at[index(p)]),
             apart(parts.at(wheel_centre) + g.wheel_axis * 100.0, parts.at(p)));

    if (g.strut_on != Body::upright) {
        // The bracket sits by the joint: along the pickup axis and radially it stays as drawn.
        const bool lower = g.strut_on == Body::lower_wishbone;
        const Point front = lower ? lower_wishbone_front : upper_wishbone_front;
        const Point rear = lower ? lower_wishbone_rear : upper_wishbone_rear;
        const Point outer = lower ? lower_wishbone_outer : upper_wishbone_outer;
        const auto place = [&](const Joints& p) {
            const Vec3<double> axis = unit(p[index(rear)] - p[index(front)]);
            const Vec3<double> leg = p[index(outer)] - p[index(front)];
            const Vec3<double> radial = unit(leg - axis * dot(leg, axis));
            const Vec3<double> from = p[index(strut)] - p[index(outer)];
            return Vec3<double>{dot(from, axis), dot(from, radial), dot(from, cross(axis, radial))};
        };
        keep(apart(place(at), place(g.drawn.points)), 0.0);
    }
    if (g.has_rocker) {
        keep(gap(pushrod_outer, pushrod_inner), parts.at(Length::pushrod));
        rigid({rocker_axis_point, pushrod_inner, rocker_spring, rocker_drop_link}, g.drawn.points);
        for (const Point p : {pushrod_inner, rocker_spring, rocker_drop_link})
            keep(dot(at[index(p)] - at[index(rocker_axis_point)], g.rocker_axis),
                 dot(g.drawn.points[index(p)] - g.drawn.points[index(rocker_axis_point)], g.rocker_axis));
    }
    keep(gap(g.has_rocker ? rocker_spring : strut, spring_chassis), solved.strut.spring_length);
    return worst;
}

/// The sides on which the loops of a pose close, to be those of the drawing.
bool as_drawn(const Linkage<double>& l, const Solved& s) {
    const Geometry& g = *l.geometry;
    const Pose<double>& p = s.pose;
    const Circle<double> steer = {p.lower_outer + p.steering_axis * l.steer_along, p.steering_axis, l.steer_radius2};
    return side_of(l.upper, p.lower_outer, p.upper_radius).sign == g.upper_side &&
           side_of(steer, l.track_rod_inner, p.steering_radius).sign == g.track_rod_side &&
           (!g.has_rocker || side_of(l.rocker, s.strut.outer, s.strut.rocker_radius).sign == g.rocker_side);
}

Setup moved(const Kind& kind, int seed, const RigidMotion& motion) {
    Corner c = corner(kind, seed);
    for (auto& point : c.points)
        if (point) *point = motion(*point);
    c.wheel_axis = motion.turn(c.wheel_axis);
    c.rocker_axis = motion.turn(c.rocker_axis);
    c.rack_direction = motion.turn(*c.rack_direction);
    for (Adjuster& adjuster : c.adjusters)
        for (Change& change : adjuster.changes)
            if (std::holds_alternative<Point>(change.what)) change.per_mm = motion.turn(change.per_mm);
    const Setup as_drawn = turned(kind, seed);
    return {geometry(c), as_drawn.amounts_mm, as_drawn.rack_mm};
}

}  // namespace

TEST_CASE("links and bodies keep their lengths over the whole travel and beyond") {
    const int seeds = test_size("lengths kept, corners of each kind", 3, 30);
    double worst = 0.0;
    int states = 0, without_pushrod = 0;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds()) {
            const Setup s = turned(kind, seed);
            const Linkage<double> l = linked(s);
            const double drawn_mm = s.geometry.drawn.points[index(Point::wheel_centre)].z;
            const Reach r = reach(l, {.what = Held::wheel});
            if (seed == 0) {
                CHECK(r.lowest < drawn_mm - 30.0);
                CHECK(r.highest > drawn_mm + 30.0);
            }
            const double low = std::max(r.lowest + 0.01, drawn_mm - 60.0);
            const double high = std::min(r.highest - 0.01, drawn_mm + 60.0);
            for (const double value : even(low, high, 49)) {
                const Solved solved = solve(l, {.what = Held::wheel}, value);
                INFO(kind.name() << ", seed " << seed << ", wheel at " << value - drawn_mm << " mm of travel");
                if (solved.status == Status::pushrod_open && std::fabs(value - drawn_mm) > (seed == 0 ? 30.0 : 0.0)) {
                    ++without_pushrod;
                    continue;
                }
                REQUIRE(solved.status == Status::ok);
                const double broken = broken_mm(s, solved);
                CHECK(broken <= 1e-9);
                CHECK_NEAR(solved.pose.wheel_centre.z, value, tolerances::held_mm);
                worst = std::max(worst, broken);
                ++states;
            }
        }
    CHECK(without_pushrod < states / 4);
    std::cout << "lengths kept in " << states << " states to " << worst << " mm (" << without_pushrod
              << " more where the pushrod does not reach)\n";
}

TEST_CASE("left and right are mirror images") {
    const int seeds = test_size("mirror, corners of each kind", 3, 30);
    double worst = 0.0;
    for (int seed = 0; seed < seeds; ++seed)
        for (Kind kind : kinds()) {
            if (!kind.left) continue;
            const Setup left = turned(kind, seed);
            kind.left = false;
            const Setup right = turned(kind, seed);
            for (const Held held : holds()) {
                const Hold on_left = {held, tilted(true).z}, on_right = {held, tilted(false).z};
                const double value = present_value(left, on_left, 10.0);
                INFO(kind.name() << ", seed " << seed << ", " << held_names[index(held)]);
                CHECK_NEAR(present_value(right, on_right, 10.0), value, 1e-10);
                const Rates a = rates(left, on_left, value, tilted(true));
                const Rates b = rates(right, on_right, value, tilted(false));
                for (std::size_t o = 0; o < output_count; ++o) {
                    INFO(output_list[o].name);
                    CHECK_NEAR(b.values[o], a.values[o], 1e-10);
                    worst = std::max(worst, std::fabs(b.values[o] - a.values[o]));
                    for (std::size_t i = 0; i < a.per_mm.size(); ++i) CHECK_NEAR(b.per_mm[i][o], a.per_mm[i][o], 1e-10);
                }
                Joints there = joints_of(right, solved_at(right, on_right, value));
                for (auto& point : there) point = mirrored(point);
                CHECK(worst_apart(there, joints_of(left, solved_at(left, on_left, value))) <= 1e-9);
            }
        }
    std::cout << "mirror images differ by " << worst << " at most\n";
}

TEST_CASE("a rigid motion of the whole drawing moves every pose with it") {
    const int seeds = test_size("rigid motion, corners of each kind", 2, 20);
    double worst = 0.0;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds()) {
            Random random("rigid motion", seed);
            const bool level = seed % 2 == 1;
            const RigidMotion motion = {.axis = level ? Vec3<double>{0.0, 0.0, 1.0} : unit(random.point_within(1.0)),
                                        .angle_rad = random.within(pi),
                                        .shift = random.point_within(500.0)};
            const Setup here = turned(kind, seed), there = moved(kind, seed, motion);
            const Frame frame = tilted(kind.left),
                        turned_frame = {motion.turn(frame.x), motion.turn(frame.y), motion.turn(frame.z)};
            for (const Held held : {Held::contact, Held::spring}) {
                INFO(kind.name() << ", seed " << seed << ", " << held_names[index(held)]);
                const double value = present_value(here, {held, frame.z}, -8.0);
                const double raised = dot(motion.shift, turned_frame.z);
                const double moved_value = value + (held == Held::contact ? raised : 0.0);
                const Solved a = solved_at(here, {held, frame.z}, value);
                const Solved b = solved_at(there, {held, turned_frame.z}, moved_value);
                const Joints from = joints_of(here, a), to = joints_of(there, b);
                for (std::size_t p = 0; p < point_count; ++p)
                    if (squared(here.geometry.drawn.points[p]) > 0.0) {
                        worst = std::max(worst, apart(motion(from[p]), to[p]));
                        CHECK(apart(motion(from[p]), to[p]) <= 1e-9);
                    }
                Outputs<double> expected = outputs(linked(here), a.pose, a.strut, frame);
                const Outputs<double> out = outputs(linked(there), b.pose, b.strut, turned_frame);
                expected[index(Output::half_track)] += dot(motion.shift, turned_frame.y) * here.geometry.left;
                expected[index(Output::chassis_height)] -= raised;
                for (std::size_t o = 0; o < output_count; ++o) {
                    const auto output = static_cast<Output>(o);
                    // Wheel travel is along the chassis' own z: only a turn about z keeps what is per mm of it.
                    if (!level && (output == Output::bump_steer || output == Output::camber_gain)) continue;
                    INFO(output_list[o].name);
                    CHECK_NEAR(out[o], expected[o], 1e-9);
                }
            }
        }
    std::cout << "a rigid motion leaves the pose within " << worst << " mm\n";
}

TEST_CASE("there and back by another hold and another start is the same pose") {
    const int seeds = test_size("there and back, corners of each kind", 2, 20);
    double worst = 0.0;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds()) {
            const Setup s = turned(kind, seed);
            const Linkage<double> l = linked(s);
            double half_tan = 0.0;
            std::vector<Joints> there;
            std::vector<double> lengths;
            const std::vector<double> travels = even(-15.0, 15.0, 13);
            for (const double travel : travels) {
                const Solved a = solved_at(s, {.what = Held::spring}, present_value(s, {.what = Held::spring}, travel));
                there.push_back(joints_of(s, a));
                lengths.push_back(a.strut.spring_length);
            }
            for (std::size_t i = travels.size(); i-- > 0;) {
                INFO(kind.name() << ", seed " << seed << ", travel " << travels[i]);
                const double wheel = s.geometry.drawn.points[index(Point::wheel_centre)].z + travels[i];
                const Solved a = solved_at(s, {.what = Held::wheel}, wheel, half_tan);
                half_tan = a.half_tan;
                CHECK_NEAR(a.strut.spring_length, lengths[i], 1e-9);
                const Solved b = solved_at(s, {}, held_alone(l, a.pose, a.strut, {}), half_tan);
                worst =
                    std::max({worst, worst_apart(joints_of(s, a), there[i]), worst_apart(joints_of(s, b), there[i])});
                CHECK(worst <= 1e-9);
            }
        }
    std::cout << "there and back: " << worst << " mm\n";
}

TEST_CASE("the branch never jumps in a sweep to near the ends of reach, nor the rocker over its toggle") {
    const int seeds = test_size("sweeps to the ends of reach, corners of each kind", 2, 20);
    int states = 0, open = 0;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds())
            for (const Held held : holds()) {
                const Setup s = turned(kind, seed);
                const Linkage<double> l = linked(s);
                const Hold hold = {.what = held};
                const Reach r = reach(l, hold);
                REQUIRE(r.lowest < r.highest);
                const double margin = 1e-4 * (r.highest - r.lowest);
                std::optional<double> last;
                const double direction = held_value(l, pose(l, 0.0), hold).slope;
                for (const double value : even(r.lowest + margin, r.highest - margin, 301)) {
                    INFO(kind.name() << ", seed " << seed << ", " << held_names[index(held)] << " at " << value
                                     << " of " << r.lowest << " to " << r.highest);
                    const Solved solved = solve(l, hold, value);
                    if (solved.status == Status::pushrod_open && held != Held::spring) {
                        ++open;
                    } else {
                        REQUIRE(solved.status == Status::ok);
                        CHECK(as_drawn(l, solved));
                        CHECK(broken_mm(s, solved) <= 1e-9);
                        // A jump of the contact from the disc's edge to its middle is half its width times the sine.
                        CHECK_NEAR(held_alone(l, solved.pose, solved.strut, hold), value,
                                   held == Held::contact ? 0.0018 : 1e-9);
                        ++states;
                    }
                    if (last) CHECK((solved.half_tan - *last) * direction > 0.0);
                    last = solved.half_tan;
                }
            }
    CHECK(states > 2 * open);
    std::cout << "no jump in " << states << " states to the ends of reach\n";
}
