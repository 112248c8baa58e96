// Forces in closed form, and next to the toggles where there are none.
#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/force_cases.hpp"
#include "shimwise/error.hpp"

using namespace shimwise;
using namespace corners;

namespace {

double largest(const Forces& f) {
    double most = 0.0;
    for (const auto* list : {&f.on_upright, &f.on_chassis})
        for (const JointForce& j : *list) most = std::max(most, length(j.force_N));
    return most;
}

std::string refusal(const Setup& s, const Solved& solved) {
    try {
        forces(s, solved, {0.0, 0.0, 1000.0});
    } catch (const OutOfReach& failure) {
        return failure.what();
    }
    return "";
}

}  // namespace

// DERIVED: the three moments about the lower joint, then each wishbone by itself; by hand.
TEST_CASE("level wishbones with a standing spring have the closed form") {
    const Corner c = level_corner(false);
    const double x = 300.0, y = -700.0, z = 1100.0;
    const Forces f = forces(c, {x, y, z});
    const double small = 1e-9;
    check_near(f.contact_mm, {0.0, 640.0, 0.0}, 1e-10);
    CHECK_NEAR(axial(f, Member::track_rod), -x / 2.0, small);
    CHECK_NEAR(axial(f, Member::spring), -2.0 * z, small);
    CHECK_FALSE(f.axial_N[index(Member::pushrod)].has_value());

    const double upper_x = 0.75 * x, upper_y = 0.2 * z + 0.75 * y - 0.125 * x;
    const double lower_x = -1.75 * x, lower_y = -0.2 * z - 1.75 * y - 0.375 * x;
    check_near(at_joint(f.on_upright, Point::upper_wishbone_outer), {upper_x, upper_y, 0.0}, small);
    check_near(at_joint(f.on_upright, Point::lower_wishbone_outer), {lower_x, lower_y, -z}, small);
    const double leg_mm = std::sqrt(100.0 * 100.0 + 400.0 * 400.0);
    CHECK_NEAR(axial(f, Member::upper_wishbone_front_leg), leg_mm / 2.0 * (upper_x / 100.0 - upper_y / 400.0), small);
    CHECK_NEAR(axial(f, Member::upper_wishbone_rear_leg), leg_mm / 2.0 * (-upper_x / 100.0 - upper_y / 400.0), small);

    const double half_turning = 2.0 * lower_x;  // 400 mm of lever over 200 mm of pickups
    check_near(at_joint(f.on_chassis, Point::lower_wishbone_front), {0.0, -lower_y / 2.0 + half_turning, -z / 2.0},
               small);
    check_near(at_joint(f.on_chassis, Point::lower_wishbone_rear), {0.0, -lower_y / 2.0 - half_turning, -z / 2.0},
               small);
    CHECK_NEAR(f.along_lower_pickups_N, -lower_x, small);
    CHECK_NEAR(f.along_upper_pickups_N, -upper_x, small);
    check_near(at_joint(f.on_chassis, Point::spring_chassis), {0.0, 0.0, 2.0 * z}, small);
    CHECK_FALSE(f.rocker_moment_Nmm.has_value());
}

// DERIVED: levers by hand.
TEST_CASE("a right-angled rocker has the closed form") {
    const double z = 900.0;
    const Forces f = forces(level_corner(true), {0.0, 0.0, z});
    const double small = 1e-9;
    CHECK_NEAR(axial(f, Member::pushrod), -4.0 / 3.0 * z, small);               // 400 mm over 300 mm
    CHECK_NEAR(axial(f, Member::spring), -4.0 / 3.0 * 50.0 / 60.0 * z, small);  // 50 mm over 60 mm
    check_near(at_joint(f.on_chassis, Point::rocker_axis_point), {0.0, 10.0 / 9.0 * z, 4.0 / 3.0 * z}, small);
    check_near(*f.rocker_moment_Nmm, {0.0, 0.0, 20.0 * 10.0 / 9.0 * z}, small * 100.0);
    check_near(at_joint(f.on_chassis, Point::lower_wishbone_front), {0.0, 0.1 * z, -z / 6.0}, small);
}

TEST_CASE("a linkage at its toggle is refused with a sentence, and next to it the forces balance") {
    SECTION("the spring points at the rocker's axis") {
        Corner c = level_corner(true);
        const auto at_lever = [&](double lever_mm) {
            c.points[index(Point::spring_chassis)] = {20.0, 450.0 + lever_mm * 5.0, 210.0};  // 300 mm under the eye
            const Setup s = setup(c);
            return refusal(s, solve(linked(s), {.what = Held::wheel}, 250.0));
        };
        for (const double lever_mm : {0.0, 1e-3})
            CHECK(at_lever(lever_mm) ==
                  "the linkage is at its toggle: a load makes more than 10000 times as much in the spring");
        CHECK(at_lever(1.0).empty());
    }
    SECTION("the spring points at the lower wishbone's pickups") {
        Corner c = level_corner(false);
        c.points[index(Point::spring_chassis)] = {0.0, 100.0, 150.0 + 1e-6};
        const Setup s = setup(c);
        const Solved solved = solve(linked(s), {.what = Held::wheel}, 250.0);
        CHECK(refusal(s, solved).find("in the spring") != std::string::npos);
    }
    SECTION("the track rod points at the steering axis") {
        Corner c = level_corner(false);
        c.points[index(Point::track_rod_outer)] = {1e-6, 550.0, 200.0};
        c.points[index(Point::track_rod_inner)] = {0.0, 200.0, 200.0};
        const Setup s = setup(c);
        const Solved solved = solve(linked(s), {.what = Held::wheel}, 250.0);
        REQUIRE(solved.status == Status::ok);
        CHECK(refusal(s, solved).find("toggle") != std::string::npos);
        CHECK(refusal(s, solved).find("in the track rod") != std::string::npos);
    }
    SECTION("to the ends of reach") {
        int given = 0, refused = 0;
        for_all(4, [&](const Case& c) {
            const Solved beyond = solve(c.linkage, {.what = Held::wheel}, 1e6);
            for (const double end : {beyond.lowest, beyond.highest})
                for (double off_mm = 1.0; off_mm > 1e-10; off_mm *= 0.1) {
                    const double inward = end == beyond.lowest ? off_mm : -off_mm;
                    const Solved solved = solve(c.linkage, {.what = Held::wheel}, end + inward);
                    if (solved.status != Status::ok) continue;
                    const std::string sentence = refusal(c.setup, solved);
                    if (!sentence.empty()) {
                        CHECK(sentence.find("toggle") != std::string::npos);
                        ++refused;
                        continue;
                    }
                    const Forces f = forces(c.setup, solved, c.load_N);
                    CHECK(f.out_of_balance_N <= 1e-9 * length(c.load_N));
                    CHECK(largest(f) <= 1e5 * length(c.load_N));
                    ++given;
                }
        });
        CHECK(given > 100);
        CHECK(refused > 10);
        std::cout << "near the ends of reach: " << given << " states with forces, " << refused << " refused\n";
    }
}
