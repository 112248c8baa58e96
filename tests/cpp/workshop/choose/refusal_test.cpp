// What is said where a target cannot be met.

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "workshop/choose/small_morning.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("a target out of reach is refused with the nearest and with what binds, and no limit is broken") {
    Morning m = wren_morning();
    m.target(CornerId::front_left, Output::camber).value = -6.0;
    m.thread(CornerId::rear_left, "toe link").limits_turns = {-0.05, 0.05};
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK_FALSE(got.least_work);
    REQUIRE(got.refusals.size() == 2);
    CHECK(said(got.refusals, "front_left", "camber -6.000 deg", "cannot be met", "the nearest",
               "front_left.camber shim", "thinner than no shim"));
    CHECK(said(got.refusals, "rear_left.toe link", "limits_turns", "allowed are -0.05 to 0.05"));
    CHECK_FALSE(got.closest.corners[index(CornerId::front_left)].within);
    CHECK(got.closest.corners[index(CornerId::front_right)].within);
    const Car after = car_after(m.car, got, Which::closest);
    for (const CornerId id : all_corners)
        for (const Adjuster& adjuster : after[id].adjusters)
            CHECK_FALSE(broken_limit(after, id, adjuster, present_setting(adjuster)));
    CHECK_THROWS_AS(settings_after(m.car, got, Which::least_work), OutOfReach);
}

TEST_CASE("the limit of a stack is named") {
    Morning m = wren_morning();
    m.target(CornerId::rear_right, Output::camber).value = 2.0;
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK(said(got.refusals, "rear_right", "rear_right.camber shim", "limits_mm", "allowed are 0 to 6"));
    CHECK(setting_of(got.closest.corners[index(CornerId::rear_right)], ".camber shim") <= 6.0 + 1e-9);
}

TEST_CASE("too few shims at hand are named") {
    Morning m = wren_morning();
    m.car.boxes_mm["front"].clear();
    for (CornerReadings& corner : m.readings.corners) corner.shims_mm.clear();
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK(said(got.refusals, "front_left", "shims at hand"));
}

TEST_CASE("thread engagement binds like any other limit") {
    Morning m = wren_morning();
    Thread& link = m.thread(CornerId::rear_right, "toe link");
    link.limits_turns.reset();
    link.engaged_mm = {12.5, 12.5};
    link.least_engaged_mm = 12.3;  // left- and right-hand ends lose 1.25 mm a turn: 0.16 turn is left
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK(said(got.refusals, "rear_right", "least_engaged_mm", "too little thread"));
    CHECK(setting_of(got.closest.corners[index(CornerId::rear_right)], ".toe link") <= 0.16 + 1e-9);
}
