// Each body's balance, assembled here from the result alone. Virtual work and closed forms have files of their own.
#include "shimwise/motion/forces.hpp"

#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/force_cases.hpp"
#include "shimwise/error.hpp"
#include "shimwise/tolerances.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

double upright_left_over(const Case& c, const Forces& f) {
    Balance b;
    b.add(contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}), c.load_N);
    for (const JointForce& j : f.on_upright) b.add(c[j.point], j.force_N);
    return b.left_over();
}

double wishbone_left_over(const Case& c, const Forces& f, const Wishbone& w) {
    Balance b;
    b.add(c[w.outer], -at_joint(f.on_upright, w.outer));
    if (c.geometry().strut_on == w.body) b.add(c[c.strut_point()], strut_force(c, f));
    b.add(c[w.front], -at_joint(f.on_chassis, w.front));
    b.add(c[w.rear], -at_joint(f.on_chassis, w.rear));
    b.add(c[w.rear], c.pickup_axis(w) * -along_pickups(f, w));  // anywhere on the axis
    return b.left_over();
}

double rocker_left_over(const Case& c, const Forces& f) {
    Balance b;
    b.add(c[Point::pushrod_inner], pull(c, Point::pushrod_inner, Point::pushrod_outer, axial(f, Member::pushrod)));
    b.add(c[Point::rocker_spring], pull(c, Point::rocker_spring, Point::spring_chassis, axial(f, Member::spring)));
    b.add(c[Point::rocker_axis_point], -at_joint(f.on_chassis, Point::rocker_axis_point));
    b.add_moment(-*f.rocker_moment_Nmm);
    return b.left_over();
}

/// The chassis gets the whole load, wherever it goes.
double corner_left_over(const Case& c, const Forces& f) {
    Balance b;
    b.add(contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}), c.load_N);
    for (const JointForce& j : f.on_chassis) b.add(c[j.point], -j.force_N);
    for (const Wishbone& w : wishbones) b.add(c[w.front], c.pickup_axis(w) * -along_pickups(f, w));
    if (f.rocker_moment_Nmm) b.add_moment(-*f.rocker_moment_Nmm);
    return b.left_over();
}

/// Everything of a result in one order; what is not there is 0.
std::vector<double> numbers(const Forces& f) {
    std::vector<double> all;
    const auto add = [&all](const Vec3<double>& v) { all.insert(all.end(), {v.x, v.y, v.z}); };
    for (const auto& n : f.axial_N) all.push_back(n.value_or(0.0));
    for (const auto* list : {&f.on_upright, &f.on_chassis})
        for (const JointForce& j : *list) add(j.force_N);
    all.insert(all.end(), {f.along_upper_pickups_N, f.along_lower_pickups_N});
    add(f.rocker_moment_Nmm.value_or(Vec3<double>{}));
    return all;
}

}  // namespace

TEST_CASE("upright, wishbones, rocker and the whole corner are in balance") {
    const int seeds = test_size("balance of forces, corners of each kind", 20, 400);
    double worst = 0.0;
    for_all(seeds, [&](const Case& c) {
        const Forces f = forces(c.setup, c.solved, c.load_N);
        const double load = length(c.load_N);
        std::vector<double> left = {upright_left_over(c, f), corner_left_over(c, f)};
        for (const Wishbone& w : wishbones) left.push_back(wishbone_left_over(c, f, w));
        if (c.geometry().has_rocker) left.push_back(rocker_left_over(c, f));
        for (const double body : left) {
            CHECK(body <= 1e-9 * load);
            worst = std::max(worst, body / load);
        }
        CHECK(f.out_of_balance_N <= tolerances::balance * load);
        CHECK(f.on_upright.size() == (c.geometry().strut_on == Body::upright ? 4u : 3u));
        CHECK(f.on_chassis.size() == (c.geometry().has_rocker ? 7u : 6u));
    });
    std::cout << "balance of each body: worst " << worst << " of the load\n";
}

TEST_CASE("every force has the direction that its joint can carry") {
    for_all(10, [](const Case& c) {
        const Forces f = forces(c.setup, c.solved, c.load_N);
        const double small = 1e-9 * length(c.load_N);
        for (const Wishbone& w : wishbones) {
            for (const Point p : {w.front, w.rear})
                CHECK_NEAR(dot(at_joint(f.on_chassis, p), c.pickup_axis(w)), 0.0, small);
            REQUIRE(f.axial_N[index(w.front_leg)].has_value() == (c.geometry().strut_on != w.body));
            REQUIRE(f.axial_N[index(w.rear_leg)].has_value() == (c.geometry().strut_on != w.body));
            if (c.geometry().strut_on == w.body) continue;
            check_near(
                pull(c, w.outer, w.front, axial(f, w.front_leg)) + pull(c, w.outer, w.rear, axial(f, w.rear_leg)),
                at_joint(f.on_upright, w.outer), small);
        }
        check_near(pull(c, Point::track_rod_outer, Point::track_rod_inner, axial(f, Member::track_rod)),
                   at_joint(f.on_upright, Point::track_rod_outer), small);
        check_near(pull(c, Point::track_rod_inner, Point::track_rod_outer, axial(f, Member::track_rod)),
                   at_joint(f.on_chassis, Point::track_rod_inner), small);
        check_near(pull(c, Point::spring_chassis, c.spring_eye(), axial(f, Member::spring)),
                   at_joint(f.on_chassis, Point::spring_chassis), small);
        if (c.geometry().strut_on == Body::upright)
            check_near(strut_force(c, f), at_joint(f.on_upright, c.strut_point()), small);
        CHECK(f.axial_N[index(Member::pushrod)].has_value() == c.geometry().has_rocker);
        REQUIRE(f.rocker_moment_Nmm.has_value() == c.geometry().has_rocker);
        if (f.rocker_moment_Nmm) CHECK_NEAR(dot(*f.rocker_moment_Nmm, c.geometry().rocker_axis), 0.0, small * 250.0);
        check_near(f.contact_mm, contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}), 0.0);
        check_near(f.load_N, c.load_N, 0.0);
    });
}

TEST_CASE("forces on the left and on the right are mirror images") {
    for (int seed = 0; seed < 20; ++seed)
        for (const Kind& kind : kinds()) {
            if (!kind.left) continue;
            const Case left(kind, seed);
            const Case right({kind.strut_on, kind.rocker, false}, seed);
            INFO(left.name());
            const Forces l = forces(left.setup, left.solved, left.load_N);
            const Forces r = forces(right.setup, right.solved, mirrored(left.load_N));
            const double small = 1e-10 * length(left.load_N);
            for (std::size_t m = 0; m < member_count; ++m)
                CHECK_NEAR(l.axial_N[m].value_or(0.0), r.axial_N[m].value_or(0.0), small);
            for (const auto list : {&Forces::on_upright, &Forces::on_chassis}) {
                REQUIRE((l.*list).size() == (r.*list).size());
                for (const JointForce& j : l.*list) check_near(mirrored(j.force_N), at_joint(r.*list, j.point), small);
            }
            CHECK_NEAR(l.along_upper_pickups_N, r.along_upper_pickups_N, small);
            CHECK_NEAR(l.along_lower_pickups_N, r.along_lower_pickups_N, small);
            if (kind.rocker)  // a moment's mirror image: the other two components turn
                check_near(-mirrored(*l.rocker_moment_Nmm), *r.rocker_moment_Nmm, small * 250.0);
        }
}

TEST_CASE("forces add up with their loads, and without a load there is none") {
    for_all(10, [](const Case& c) {
        const Vec3<double> other = Random("other load", c.seed).point_within(3000.0);
        const auto a = numbers(forces(c.setup, c.solved, c.load_N)), b = numbers(forces(c.setup, c.solved, other));
        const auto both = numbers(forces(c.setup, c.solved, c.load_N * 2.0 - other * 0.5));
        REQUIRE(a.size() == both.size());
        double most = 0.0;
        for (std::size_t i = 0; i < a.size(); ++i) {
            CHECK_NEAR(both[i], 2.0 * a[i] - 0.5 * b[i], 1e-8);
            most = std::max(most, std::fabs(both[i]));
        }
        CHECK(most > 100.0);
        for (const double nothing : numbers(forces(c.setup, c.solved, {}))) CHECK(nothing == 0.0);
    });
}

TEST_CASE("forces of a corner by travel and rack are those of its solved state") {
    const Corner c = corner({}, 3);
    const Setup s = setup(c, 5.0);
    const double height_mm = c.at(Point::wheel_centre).z - 12.0;
    const Vec3<double> load_N = {100.0, 200.0, 1500.0};
    CHECK(numbers(forces(c, load_N, -12.0, 5.0)) ==
          numbers(forces(s, solve(linked(s), {.what = Held::wheel}, height_mm), load_N)));
    try {
        forces(c, load_N, 400.0);
        FAIL("no such travel");
    } catch (const OutOfReach& failure) {
        CHECK(std::string(failure.what()).find("front_left: the held wheel travel is out of reach by") == 0);
    }
}

TEST_CASE("a load that is no number gives no forces") {
    CHECK_THROWS_AS(forces(corner({}), {std::nan(""), 0.0, 1.0}), OutOfReach);
}
