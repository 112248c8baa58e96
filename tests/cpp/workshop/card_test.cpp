#include "shimwise/workshop/card.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

const CardStep& step(const Card& card, int number) {
    return *std::find_if(card.steps.begin(), card.steps.end(), [&](const CardStep& s) { return s.number == number; });
}

}  // namespace

TEST_CASE("the card goes in the working order, toe at the rear before the front, and no step is empty") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const Card got = card(p, m.car, Which::closest);
    std::vector<int> numbers;
    double minutes = 0.0;
    std::size_t turned = 0;
    for (const CardStep& one : got.steps) {
        numbers.push_back(one.number);
        CHECK(!one.lines.empty());
        for (const CardLine& line : one.lines) {
            minutes += line.minutes;
            if (!line.key.empty()) ++turned;
        }
    }
    CHECK(numbers == std::vector<int>{0, 2, 3, 5, 6, 7, 8, 9, 10});  // caster and weights need no turn
    CHECK_NEAR(minutes, got.minutes, 1e-9);
    CHECK(static_cast<std::ptrdiff_t>(turned) == std::ranges::count_if(p.closest.settings, &PlannedSetting::touched));
    std::vector<std::string> toe;
    for (const CardLine& line : step(got, 6).lines) toe.push_back(line.key);
    CHECK(toe == std::vector<std::string>{"rear_left.toe link", "rear_right.toe link", "front_left.track rod",
                                          "front_right.track rod"});
    for (const CardLine& line : step(got, 3).lines)  // both sides of an axle, then the heights
        CHECK(line.expect.size() == (line.corner.ends_with("right") ? 4 : 0));
    for (const std::vector<std::string>* words : {&got.cautions, &cautions_in_short()}) {
        CHECK(said(*words, "under it", "never"));
        CHECK(said(*words, "minimum thread engagement"));
        CHECK(said(*words, "torque to the maker's figures"));
        CHECK((said(*words, "easure again before the car runs")));
        CHECK(said(*words, "rack lock, plates and setup wheels"));
        CHECK(said(*words, "qualified person"));
    }
    CHECK(got.title == "Closest plan, 68 minutes: inside every tolerance by prediction.");
    CHECK(got.place == "barn plate");
    CHECK(got.frame.find("measured ride heights") != std::string::npos);
    CHECK_NEAR(*got.chance, chances(p).closest.value, 1e-3);
}

TEST_CASE("what is expected after every line is that of the whole car with all lines so far") {
    Morning m = wren_morning();
    m.readings.front_bar_mm = {906.0, 905.0};  // a string that runs wide on the left
    const Measured measured = m.measured();
    const Plan p = plan(m.car, measured, m.targets);
    const Card got = card(p, m.car, Which::closest);
    const Car car = as_read(m.car, measured.read);
    Car now = car;
    std::size_t compared = 0;
    for (const CardStep& one : got.steps)
        for (const CardLine& line : one.lines) {
            for (const PlannedSetting& planned : p.closest.settings) {
                if (planned.key != line.key) continue;
                Adjuster& adjuster = now[planned.corner].adjusters[planned.adjuster];
                if (adjuster.thread())
                    std::get<Thread>(adjuster.setting).now_turns = planned.after;
                else
                    std::get<Stack>(adjuster.setting).fitted_mm = planned.shims.shims_mm;
            }
            const WholeCarChange whole = whole_car_change(measured, car, now);
            for (const CardReading& reading : line.expect) {
                INFO(line.text << " " << reading.at);
                ++compared;
                if (reading.of == ReadingOf::height || reading.of == ReadingOf::scale) {
                    const bool height = reading.of == ReadingOf::height;
                    for (const CarValue& value : whole.values)
                        if (height ? key(value.id) == "ride_height." + reading.at
                                   : key(value.id) == reading.at + ".weight") {
                            CHECK_NEAR(reading.expect, value.then, 1e-9);
                            CHECK(reading.window >= 2.0 * value.deviation);
                        }
                    continue;
                }
                const std::size_t c = index(*named<CornerId>(corner_names, reading.at));
                const Expectation shown =
                    expectation(measured, as_measured(measured, car.corners[c]), now.corners[c], whole.change[c]);
                const bool flags = reading.of == ReadingOf::flags;
                CHECK_NEAR(reading.expect, flags ? *shown.flag_difference_mm : *shown.gauge_deg, 1e-9);
            }
        }
    CHECK(compared > 40);
    // At the end a window is two standard deviations of the plan's own prediction.
    for (const CardValue& value : got.values)
        for (const PlannedValue& planned : p.closest.values)
            if (value.key == key(planned.id) && planned.measured && planned.deviation > 0.0) {
                INFO(value.key);
                CHECK_NEAR(*value.then, planned.then, 1e-9);
                CHECK_NEAR(*value.window / (2.0 * planned.deviation), 1.0, 0.05);
            }
}

TEST_CASE("touching nothing shows what was read") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const Card idle = card(p, m.car, Which::nothing);
    std::size_t read = 0;
    for (const CardReading& reading : step(idle, 9).lines[0].expect) {
        if (reading.of != ReadingOf::flags && reading.of != ReadingOf::gauge) continue;
        const CornerReadings& was = m.readings.corners[index(*named<CornerId>(corner_names, reading.at))];
        const bool flags = reading.of == ReadingOf::flags;
        CHECK_NEAR(reading.expect, flags ? was.flags_mm->front_mm - was.flags_mm->rear_mm : was.camber_deg->facing,
                   1e-9);
        ++read;
    }
    CHECK(read == 8);
    CHECK(idle.title == "Touch nothing: NOT inside every tolerance.");
    for (const CardStep& one : idle.steps) CHECK((one.number == 7 || one.number >= 9));
}

TEST_CASE("a rod is measured eye to eye, and turned as its left-hand end says") {
    Morning m = wren_morning();
    m.thread(CornerId::rear_left, "toe link").left_hand = RodEnd::outer;
    const Plan p = plan(m.car, m.measured(), m.targets);
    const Card got = card(p, m.car, Which::closest);
    for (const CardStep& one : got.steps)
        for (const CardLine& line : one.lines)
            for (const PlannedSetting& planned : p.closest.settings) {
                if (planned.key != line.key) continue;
                const Adjuster& adjuster = m.car[planned.corner].adjusters[planned.adjuster];
                REQUIRE(line.length_mm.has_value() == (adjuster.thread() != nullptr));
                if (!adjuster.thread()) continue;
                const double turns = planned.after - planned.before;
                CHECK_NEAR(line.length_mm->second - line.length_mm->first, turns * 2.5, 1e-9);
                const bool said_round = line.key == "rear_left.toe link";
                CHECK(line.way_round == (said_round ? (turns > 0.0 ? "counter-clockwise, seen from its outer end"
                                                                   : "clockwise, seen from its outer end")
                                                    : ""));
            }
}

TEST_CASE("what nobody asked for and moves beyond its common tolerance is named, caster for instance") {
    const Morning m = wren_morning();
    Plan p = plan(m.car, m.measured(), m.targets);
    PlannedSetting leg;
    leg.corner = CornerId::front_left;
    leg.adjuster = *m.car[leg.corner].find("upper front leg");
    leg.key = "front_left.upper front leg";
    leg.purpose = Purpose::caster;
    leg.after = 2.0;
    leg.touched = true;
    p.closest.settings = {leg};
    p.closest.values.clear();
    const Card got = card(p, m.car, Which::closest);
    CHECK(said(got.moves, "front left caster by ", "top rearward"));  // a longer front leg
    CHECK(said(got.moves, "front left camber from -2.76 to "));
    CHECK_FALSE(said(got.moves, "rear right"));
    CHECK(step(got, 1).lines.size() == 1);
    PlannedValue caster;
    caster.id = {CornerId::front_left, Output::caster};
    p.closest.values = {caster};
    CHECK_FALSE(said(card(p, m.car, Which::closest).moves, "front left caster"));  // it is asked for
}

TEST_CASE("a card says what it does not meet, and is not made for a choice that is not there") {
    Morning m = wren_morning();
    m.target(CornerId::front_left, Output::camber).value = -6.0;
    const Plan p = plan(m.car, m.measured(), m.targets);
    const Card nearest = card(p, m.car, Which::closest);
    CHECK(nearest.title.find("NOT inside") != std::string::npos);
    for (const CardValue& value : nearest.values)
        if (value.key == "front_left.camber") CHECK(value.within == false);
    CHECK_THROWS_AS(card(p, m.car, Which::least_work), OutOfReach);
}

TEST_CASE("a free rack leaves the front's toe without an expectation") {
    Morning m = wren_morning();
    m.readings.rack_locked = false;
    const Card got = card(plan(m.car, m.measured(), m.targets), m.car, Which::closest);
    CHECK(said(got.notes, "rack is not said to be locked"));
    for (const CardReading& reading : step(got, 9).lines[0].expect)
        CHECK((reading.of != ReadingOf::flags || reading.at.starts_with("rear")));
    CHECK(got.title.ends_with("; 12 of 14 targets were read."));
}

TEST_CASE("toe that is wanted in mm stands in mm, a proof in words, and what is not proven with its gap") {
    Morning m = wren_morning();
    Target& toe = m.target(CornerId::front_left, Output::toe);
    toe.flag_span_mm = 520.0;
    Plan p = plan(m.car, m.measured(), m.targets);
    Card got = card(p, m.car, Which::closest);
    for (const CardValue& value : got.values) {
        if (value.key == "front_left.toe") {
            CHECK(value.unit == "mm");
            CHECK_NEAR(*value.measured, 2.0, 0.01);  // as the flags showed, beside straight strings
            CHECK_NEAR(*value.tolerance, 0.5, 1e-3);
        }
        if (value.key == "front_right.toe") CHECK(value.unit == "deg");
        if (value.key == "front_left.caster") CHECK(!value.measured);
    }
    CHECK(got.proof == "Nothing better among more than 10^15 plans within the model's error.");
    p.closest.proof.proven = false;
    p.closest.proof.combinations = 1234567.0;
    p.closest.cost = 0.5;
    p.closest.proof.bound = 0.125;
    CHECK(card(p, m.car, Which::closest).proof ==
          "Not proven: it costs 0.500, no plan costs less than 0.125 (squared tolerances), so a plan better by 0.375 "
          "may be among "
          "1,234,567 plans.");
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
    const auto title = [&m](Which which) { return card(plan(m.car, m.measured(), m.targets), m.car, which).title; };
    m.readings.rack_locked = false;
    CHECK(title(Which::closest).ends_with("; 12 of 14 targets were read."));
    for (CornerReadings& corner : m.readings.corners) corner = {};
    m.readings.ride_heights_mm.clear();
    CHECK(title(Which::nothing) == "Touch nothing: nothing that is asked for was read.");
}
