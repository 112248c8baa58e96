#include "shimwise/workshop/doubt/doubts.hpp"

#include <cmath>
#include <set>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/workshop/card_text.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

std::vector<Doubt> doubts_of(const Morning& m) { return plan(m.car, m.measured(), m.targets).doubts; }

/// The one place that is doubted, for whatever reasons; empty where there is none or more than one.
std::string only_doubt(const std::vector<Doubt>& found) {
    std::set<std::string> places;
    for (const Doubt& doubt : found) places.insert(doubt.at);
    return places.size() == 1 ? *places.begin() : "";
}

}  // namespace

TEST_CASE("the demo car, its morning and its targets are not doubted") {
    const Morning m = wren_morning();
    CHECK(doubts(m.car).empty());
    CHECK(doubts(m.measured(), m.car).empty());
    CHECK(doubts(m.targets, m.measured(), m.car).empty());
    CHECK(doubtful_words({}).empty());
}

TEST_CASE("a number that is next to nothing is doubted as a number") {
    Morning m = wren_morning();
    m.adjuster(CornerId::front_left, "camber shim").minutes = 5e-324;
    const std::vector<Doubt> told = doubts(m.car);
    REQUIRE(told.size() == 1);
    CHECK(told[0].text.find("is 4.94066e-324 min") != std::string::npos);
}

TEST_CASE("a reading that the model cannot have is doubted where it was read") {
    Morning m = wren_morning();
    m.read(CornerId::front_left).flags_mm->front_mm += 70.0;
    CHECK(only_doubt(doubts(m.measured(), m.car)) == "front_left.flags_mm");
    m = wren_morning();
    m.read(CornerId::rear_right).camber_deg->facing *= -1.0;
    CHECK(only_doubt(doubts(m.measured(), m.car)) == "rear_right.camber_deg");
    m = wren_morning();
    m.readings.front_bar_mm = {950.0, 905.0};
    for (const Doubt& doubt : doubts(m.measured(), m.car)) CHECK(doubt.at != "scale_kg");
    CHECK(doubts(m.measured(), m.car).size() >= 2);  // along the car, about its centre line
}

TEST_CASE("scales are doubted together by their sum and singly by the model, with the ballast that was read") {
    Morning m = wren_morning();
    for (CornerReadings& corner : m.readings.corners) *corner.scale_kg *= 2.2046;
    bool sum = false;
    for (const Doubt& doubt : doubts(m.measured(), m.car)) sum = sum || doubt.at == "scale_kg";
    CHECK(sum);
    m = wren_morning();
    m.readings.ballast_kg["fuel"] = 12.0 + 40.0;  // in the car, and not on the scales
    CHECK_FALSE(doubts(m.measured(), m.car).empty());
    for (CornerReadings& corner : m.readings.corners) *corner.scale_kg += 10.0;
    CHECK(doubts(m.measured(), m.car).empty());
}

TEST_CASE("where the car does not stand by its springs toe and camber are doubted all the same") {
    Morning m = wren_morning();
    m.car.mass.cg_mm->x = 4000.0;
    bool springs = false;
    for (const Doubt& doubt : doubts(m.car)) springs = springs || doubt.at == "springs";
    CHECK(springs);
    m.read(CornerId::front_left).flags_mm->front_mm += 70.0;
    CHECK(only_doubt(doubts(m.measured(), m.car)) == "front_left.flags_mm");
}

TEST_CASE("a target is doubted beside what was read, a caster beside the model, a tolerance by itself") {
    Morning m = wren_morning();
    m.target(CornerId::front_left, Output::toe).value = 0.9;
    CHECK(only_doubt(doubts(m.targets, m.measured(), m.car)) == "front_left.toe");
    m = wren_morning();
    m.target(CornerId::front_left, Output::caster).least = 15.0;
    CHECK(only_doubt(doubts(m.targets, m.measured(), m.car)) == "front_left.caster");
    m = wren_morning();
    const auto wants = [&m](const ValueId& id, double value, double tolerance) {
        m.targets.values[id].value = value;
        m.targets.values[id].tolerance = tolerance;
        return doubts(m.targets, m.measured(), m.car);
    };
    CHECK(wants(CarOutput::caster_difference_front, 5.5, 0.25).empty());
    CHECK(only_doubt(wants(CarOutput::caster_difference_front, -7.0, 0.25)) == "caster_difference_front");
    m = wren_morning();
    CHECK(only_doubt(wants(CarOutput::camber_difference_rear, 2.0, 0.05)) == "camber_difference_rear");
    m = wren_morning();
    const double beyond_mm = m.car[CornerId::rear_left].damper->longest_mm + 60.0;
    m.target(CornerId::rear_left, Output::spring_length).most = beyond_mm;
    CHECK(doubts(m.targets, m.measured(), m.car).empty());
    CHECK(only_doubt(wants({CornerId::rear_left, Output::spring_length}, beyond_mm, 1.0)) == "rear_left.spring_length");
    m = wren_morning();
    m.target(CornerId::front_left, Output::camber).tolerance = 3.0;
    CHECK(only_doubt(doubts(m.targets, m.measured(), m.car)) == "front_left.camber");
    m.target(CornerId::front_left, Output::camber).tolerance_is_common_practice = true;
    CHECK(doubts(m.targets, m.measured(), m.car).empty());
}

TEST_CASE("shims for camber push away from what they lie on, under either bracket") {
    Morning m = wren_morning();
    Adjuster& outer = m.adjuster(CornerId::front_right, "camber shim");
    for (Change& change : outer.changes) change.per_mm.y *= -1.0;
    CHECK(only_doubt(doubts(m.car)) == "front_right.adjuster \"camber shim\"");
    outer.changes = {{Point::upper_wishbone_front, {0.0, -1.0, 0.0}}, {Point::upper_wishbone_rear, {0.0, -1.0, 0.0}}};
    std::get<Stack>(outer.setting).on = Body::chassis;
    CHECK(doubts(m.car).empty());
    for (Change& change : outer.changes) change.per_mm.y = 1.0;
    CHECK(only_doubt(doubts(m.car)) == "front_right.adjuster \"camber shim\"");
}

TEST_CASE("the plan has the doubts of all three files after those known before, and its card says so first") {
    Morning m = wren_morning();
    m.readings.ride_heights_mm["front_right"] = {29.4, 33.0};
    m.target(CornerId::front_left, Output::camber).tolerance = 3.0;
    const Plan found = plan(m.car, m.measured(), m.targets, {}, {{"settings", "one lies beside."}});
    REQUIRE(found.doubts.size() >= 3);
    CHECK(found.doubts[0].at == "settings");
    const auto page_of = [&](const Plan& of) {
        std::string page;
        for (const std::string& line : first_page(card(of, m.car, Which::nothing))) page += line + " ";
        return page;
    };
    const std::string page = page_of(found);
    std::size_t at = 0;
    for (const char* words : {"Doubtful", "settings", "ride_heights_mm.front_right", "front_left.camber"}) {
        INFO(words << " in " << page);
        at = page.find(words, at);
        REQUIRE(at != std::string::npos);
    }
    m = wren_morning();
    CHECK(page_of(plan(m.car, m.measured(), m.targets)).find("Doubtful") == std::string::npos);
    CHECK(doubts_of(wren_morning()).empty());
}

TEST_CASE("settings beside the car file are doubted unless the car is set so") {
    const testing::ScratchFolder folder;
    const std::string car_file = folder.write("wren.toml", testing::text_of(testing::demo_path("wren.toml")));
    const Car car = load_car(car_file);
    CHECK(settings_beside(car).empty());
    Settings other = settings_of(car);
    other.turns["front_left.track rod"] = 0.25;
    save_settings(other, folder / "after.toml");
    REQUIRE(settings_beside(car).size() == 1);
    CHECK(settings_beside(car)[0].text.find("after.toml") != std::string::npos);
    CHECK(settings_beside(with_settings(car, other)).empty());
    save_settings(settings_of(car), folder / "before.toml");
    CHECK(settings_beside(car).empty());
}
