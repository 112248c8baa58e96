#include "shimwise/workshop/card.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

const CardStep& step(const Card& card, int number) {
    return *std::find_if(card.steps.begin(), card.steps.end(), [&](const CardStep& s) { return s.number == number; });
}

}  // namespace

TEST_CASE("the card goes in the working order, toe at the rear before the front") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const Card got = card(p, m.car, Which::closest);
    REQUIRE(got.steps.size() == 11);
    for (int i = 0; i <= 10; ++i) CHECK(got.steps[static_cast<std::size_t>(i)].number == i);
    std::vector<std::string> toe;
    for (const CardLine& line : step(got, 6).lines) toe.push_back(line.key);
    CHECK(toe == std::vector<std::string>{"rear_left.toe link", "rear_right.toe link", "front_left.track rod",
                                          "front_right.track rod"});
    CHECK(step(got, 2).lines.size() == 4);
    CHECK(step(got, 1).lines.size() == 1);
    CHECK(step(got, 1).lines[0].text == "Nothing to turn.");
    CHECK(step(got, 8).boxes);
    CHECK(said(got.cautions, "chocked", "never on scales or pads alone"));
    CHECK(said(got.cautions, "thread engagement"));
    CHECK(said(got.cautions, "torque"));
    CHECK(said(got.cautions, "Measure again"));
    CHECK(said(got.cautions, "rack lock", "setup wheels"));
    CHECK(said(got.cautions, "qualified person"));
    CHECK(got.title.find("Closest plan") == 0);
    CHECK(got.frame.find("measured ride heights") != std::string::npos);
    CHECK(got.touches);
    double minutes = 0.0;
    for (const CardStep& s : got.steps)
        for (const CardLine& line : s.lines) minutes += line.minutes;
    CHECK_NEAR(minutes, got.minutes, 1e-9);
}

TEST_CASE("expectations chain over the steps of a corner and end at the prediction") {
    Morning m = wren_morning();
    m.readings.front_bar_mm = {906.0, 905.0};  // a string that runs wide on the left
    const Measured measured = m.measured();
    const Plan p = plan(m.car, measured, m.targets);
    const Card got = card(p, m.car, Which::closest);
    const CornerPlan& corner = p.closest.corners[index(CornerId::rear_left)];
    const auto line = [&](int number) -> const CardLine& {
        const auto& lines = step(got, number).lines;
        return *std::find_if(lines.begin(), lines.end(), [](const CardLine& l) { return l.corner == "rear_left"; });
    };
    const Expectation shims = line(2).expect.value(), toe = line(6).expect.value(), end = line(9).expect.value();
    for (const PlannedOutput& output : corner.outputs) {
        const bool is_toe = output.id.is(Output::toe);
        CHECK_NEAR(is_toe ? *end.toe_deg : *end.camber_deg, output.predicted, 1e-9);
        CHECK_NEAR(is_toe ? *toe.toe_deg : *toe.camber_deg, output.predicted, 2e-3);  // other wheels are still to come
        CHECK_NEAR(is_toe ? *toe.toe_deviation_deg : *toe.camber_deviation_deg, output.uncertainty, 1e-12);
    }
    CHECK(std::fabs(*shims.toe_deg - *toe.toe_deg) > 0.1);     // the toe link is still to come
    CHECK(*shims.toe_deviation_deg < *toe.toe_deviation_deg);  // it adds its own settability

    // The flags also show the string's angle; the gauge its zero and the lean of the pads.
    const double rad = 3.14159265358979323846 / 180.0;
    const double string = std::atan(1.0 / 3900.0) / rad;
    CHECK_NEAR(*toe.flag_difference_mm, 520.0 * std::sin((*toe.toe_deg + string) * rad), 1e-9);
    const double inclination =
        inclination_from_camber(*toe.camber_deg, *toe.toe_deg, measured.ground.plumb, CornerId::rear_left);
    CHECK_NEAR(*toe.gauge_deg, inclination + 0.04, 1e-12);  // the check read 0.06 and 0.02

    // Before anything is turned a corner shows what was read.
    Card idle = card(p, m.car, Which::nothing);
    for (const CardLine& l : step(idle, 9).lines) {
        if (l.corner.empty()) continue;
        const CornerReadings& read = m.read(*named<CornerId>(corner_names, l.corner));
        CHECK_NEAR(*l.expect->flag_difference_mm, read.flags_mm->front_mm - read.flags_mm->rear_mm, 1e-9);
        CHECK_NEAR(*l.expect->gauge_deg, read.camber_deg->facing, 1e-9);
    }
    CHECK(idle.title.find("Touch nothing") == 0);
}

TEST_CASE("a card says which limits it does not meet, and is not made for a choice that is not there") {
    Morning m = wren_morning();
    m.target(CornerId::front_left, Output::camber).value = -6.0;
    const Plan p = plan(m.car, m.measured(), m.targets);
    const Card nearest = card(p, m.car, Which::closest);
    CHECK(nearest.title.find("NOT inside") != std::string::npos);
    CHECK(said(nearest.refusals, "front_left", "cannot be met"));
    CHECK_THROWS_AS(card(p, m.car, Which::least_work), OutOfReach);
}

TEST_CASE("a free rack leaves the front's toe without an expectation") {
    Morning m = wren_morning();
    m.readings.rack_locked = false;
    const Card got = card(plan(m.car, m.measured(), m.targets), m.car, Which::closest);
    CHECK(said(got.notes, "rack is not said to be locked"));
    for (const CardLine& line : step(got, 2).lines)
        if (line.corner == "front_left") {
            CHECK_FALSE(line.expect->toe_deg);
            CHECK_FALSE(line.expect->flag_difference_mm);
            CHECK(line.expect->camber_deg);
        }
    CHECK(step(got, 6).lines.size() == 2);
}

TEST_CASE("compare tells what lies inside its target, and names what was not measured") {
    Morning m = wren_morning();
    m.readings.corners[0].camber_deg.reset();
    const auto rows = compare(m.measured(), m.targets);
    const auto row = [&](const std::string& name) {
        return *std::find_if(rows.begin(), rows.end(), [&](const Comparison& c) { return key(c.id) == name; });
    };
    CHECK(row("ride_height.front_right").within.value());
    CHECK_FALSE(row("ride_height.front_left").within.value());
    CHECK_NEAR(row("ride_height.front_left").difference.value(), 0.8, 1e-9);
    CHECK_NEAR(row("front_difference").difference.value(), 5.2, 1e-9);
    CHECK_FALSE(row("front_left.camber").measured);
    CHECK_FALSE(row("front_left.camber").within);
    CHECK(row("front_left.camber").target);
    CHECK_FALSE(row("rear_difference").target);
    Target limit;
    limit.least = 1.0;
    limit.most = 2.0;
    CHECK(meets(limit, 1.0));
    CHECK_FALSE(meets(limit, 2.1));
    CHECK_FALSE(meets(limit, std::nan("")));
}

TEST_CASE("a verdict covers what was read, counts it, and no target that was not read is inside") {
    Morning m = wren_morning();
    const auto title = [&m] {
        const Plan got = plan(m.car, m.measured(), m.targets);
        for (const Choice* choice : {&got.nothing, &got.closest})
            CHECK(choice->within == (got.unread.empty() && choice->corners[0].within && choice == &got.closest));
        return card(got, m.car, Which::closest).title;
    };
    CHECK(title() == "Closest plan, 64 minutes: inside every tolerance of toe, camber and caster by prediction.");
    m.readings.rack_locked = false;
    CHECK(title() ==
          "Closest plan, 56 minutes: inside the tolerances of toe and camber that were read by prediction; "
          "12 of 14 targets were read.");
    for (CornerReadings& corner : m.readings.corners) corner = {};
    CHECK(title() == "Touch nothing: no toe or camber that is asked for was read; 5 of 14 targets were read.");
    m.readings.ride_heights_mm.clear();
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK(judged(got.compared) == 0);
    CHECK(got.unread.size() == 14);
    CHECK(card(got, m.car, Which::nothing).title == "Touch nothing: nothing that is asked for was read.");
}
