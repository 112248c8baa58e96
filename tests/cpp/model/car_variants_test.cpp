// What a car file may say beyond the demo: right side given in part, no rocker, other ways of giving springs and
// masses.
#include <cmath>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/limits.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

Car load_text(const std::string& text) {
    const ScratchFolder folder;
    return load_car(folder.write("car.toml", text));
}

std::string demo_text() { return text_of(demo_path("wren.toml")); }

Car with_right(const std::string& right) {
    return load_text(edited(demo_text(), "[instruments]", right + "\n[instruments]"));
}

/// `name` is no reference: a compiler could take the result for one into a temporary name.
const Adjuster& adjuster(const Car& car, CornerId id, const char* name) {
    return car[id].adjusters[car[id].find(name).value()];
}

}  // namespace

TEST_CASE("the right side overrides the mirror image key by key") {
    const Car car = with_right(R"(
[front_right]
track_rod = { outer = [101.0, -591.0, 153.5] }
spring = { free_length_mm = 200.0, seat_gap_mm = 40.0 }
damper = { longest_mm = 252.0 }

[[front_right.adjuster]]
name = "track rod"
now_turns = 0.5

[[front_right.adjuster]]
name = "camber shim"
box_mm = [0.3]
fitted_mm = [1.0, 1.0, 1.0]

[[front_right.adjuster]]
name = "extra"
changes = "lower_wishbone.rear_leg"
purpose = "caster"
thread = "3/8-24"
second_thread = "M8"
ends = "same_hand"
locks = "1/3 turn"
minutes = 9
)");
    const Corner& right = car[CornerId::front_right];
    CHECK_NEAR(right.at(Point::track_rod_outer).y, -591.0, 0.0);
    CHECK_NEAR(right.at(Point::track_rod_inner).y, -232.0, 0.0);
    CHECK(right.rack_direction.has_value());
    CHECK_FALSE(right.spring.load_at_drawn_N.has_value());
    CHECK_NEAR(right.spring.free_length_mm.value(), 200.0, 0.0);
    CHECK_NEAR(right.spring.rate_N_per_mm, 90.0, 0.0);
    CHECK_NEAR(right.damper.value().shortest_mm, 205.0, 0.0);
    CHECK_NEAR(right.damper.value().longest_mm, 252.0, 0.0);
    CHECK(right.adjusters.size() == 8);
    CHECK_NEAR(adjuster(car, CornerId::front_right, "track rod").thread()->now_turns, 0.5, 0.0);
    CHECK_NEAR(adjuster(car, CornerId::front_left, "track rod").thread()->now_turns, 0.0, 0.0);
    const Stack& stack = *adjuster(car, CornerId::front_right, "camber shim").stack();
    CHECK(stack.box.empty());
    CHECK(car.box_mm(stack) == std::vector<double>{0.3});
    CHECK(car.box_mm(*adjuster(car, CornerId::front_left, "camber shim").stack()).size() == 9);
    const Thread& extra = *adjuster(car, CornerId::front_right, "extra").thread();
    CHECK_NEAR(extra.lead_mm(), 25.4 / 24.0 - 1.25, 1e-12);
    CHECK_NEAR(extra.lock_turns, 1.0 / 3.0, 1e-15);
    CHECK(car[CornerId::front_left].spring.load_at_drawn_N.has_value());
}

TEST_CASE("ride-height points: a right one given in part takes the rest from the left") {
    const Car car = load_text(edited(demo_text(), "[rake]",
                                     "front_right = { from = \"skid\" }\nnose = { at_mm = [300.0, 0.0, 5.0], from = "
                                     "\"skid\" }\n\n[rake]"));
    REQUIRE(car.ride_heights.size() == 5);
    for (const RideHeightPoint& point : car.ride_heights)
        if (point.name == "front_right") {
            CHECK(point.from == HeightFrom::skid);
            CHECK_NEAR(point.at_mm.y, -310.0, 0.0);
        }
}

TEST_CASE("a length as set is the drawn one and what its adjusters make of it") {
    const std::string text =
        edited(demo_text(), "now_turns = 0.0\nengaged_mm = 20.0", "now_turns = 0.5\nengaged_mm = 20.0");
    const Car car = load_text(text), drawn = load_text(demo_text());
    const auto longer_mm = [&](CornerId id, Length length) {
        return present_length_mm(car, id, length).value() - drawn_length_mm(drawn, id, length).value();
    };
    CHECK_NEAR(longer_mm(CornerId::front_left, Length::track_rod), 0.5 * 2.0 * 1.25, 1e-12);
    CHECK_NEAR(longer_mm(CornerId::front_right, Length::track_rod), 0.5 * 2.0 * 1.25, 1e-12);
    CHECK_NEAR(longer_mm(CornerId::front_left, Length::pushrod), 0.0, 0.0);
    CHECK_NEAR(longer_mm(CornerId::rear_left, Length::track_rod), 0.0, 0.0);
    // track_rod from (90, 232, 155.5) to (100, 590, 153)
    CHECK_NEAR(drawn_length_mm(drawn, CornerId::front_left, Length::track_rod).value(), std::sqrt(128270.25), 1e-12);
    Car no_bar = drawn;
    no_bar.bars[1].reset();
    CHECK_FALSE(present_length_mm(no_bar, CornerId::rear_left, Length::drop_link).has_value());
}

TEST_CASE("a limit of a length counts every adjuster that turns it") {
    std::string text = edited(demo_text(), "limits_turns = [-6.0, 6.0]", "length_limits_mm = [356.0, 361.0]");
    text = edited(text, "now_turns = 0.0\nengaged_mm = 20.0", "now_turns = 0.5\nengaged_mm = 20.0");
    const std::string extra =
        "[[front_left.adjuster]]\nname = \"extra\"\nchanges = \"track_rod\"\npurpose = \"toe\"\npitch_mm = 1.0\n"
        "ends = \"one\"\nlocks = \"turn\"\nnow_turns = 1.0\nminutes = 1\n\n";
    const Car car = load_text(edited(text, "[rear_left]", extra + "[rear_left]"));
    const Adjuster& rod = adjuster(car, CornerId::front_left, "track rod");
    // Drawn 358.15 mm, 1 mm by the other adjuster, 2.5 mm a turn.
    CHECK_FALSE(broken_limit(car, CornerId::front_left, rod, 0.7).has_value());
    CHECK(broken_limit(car, CornerId::front_left, rod, 0.8).value().key == "length_limits_mm");
    CHECK_FALSE(broken_limit(car, CornerId::front_left, rod, -1.2).has_value());
    CHECK(broken_limit(car, CornerId::front_left, rod, -1.3).value().key == "length_limits_mm");
}

TEST_CASE("a corner without rocker has its spring and drop link on a wishbone") {
    std::string text = demo_text();
    const auto from = text.find("[rear_left.rocker]");
    text.erase(from, text.find("[[rear_left.adjuster]]") - from);
    text = edited(text,
                  "pushrod = { outer = [-2338.0, 555.0, 138.0], inner = [-2330.0, 340.0, 440.0], outer_on = "
                  "\"lower_wishbone\" }\n",
                  "drop_link = { outer = [-2300.0, 480.0, 130.0], outer_on = \"lower_wishbone\" }\n");
    text = edited(text, "spring = { chassis = [-2330.0, 70.0, 480.0],",
                  "spring = { outer = [-2338.0, 500.0, 140.0], outer_on = \"lower_wishbone\", chassis = [-2330.0, "
                  "330.0, 320.0],");
    text = edited(text, "shortest_mm = 200.0, longest_mm = 245.0", "shortest_mm = 200.0, longest_mm = 275.0");
    const auto at = text.find("name = \"pushrod\"", text.find("[rear_left]"));
    const auto begin = text.rfind("[[rear_left.adjuster]]", at);
    text.erase(begin, text.find("[[rear_left.adjuster]]", at) - begin);
    const Car car = load_text(text);
    const Corner& corner = car[CornerId::rear_right];
    CHECK_FALSE(corner.has_rocker());
    CHECK(corner.carrier(Point::spring_outer) == Body::lower_wishbone);
    CHECK_NEAR(corner.at(Point::drop_link_outer).y, -480.0, 0.0);
    CHECK_NEAR(drawn_length_mm(car, CornerId::rear_left, Length::drop_link).value(),
               std::sqrt(30.0 * 30.0 + 240.0 * 240.0 + 205.0 * 205.0), 1e-9);
    CHECK_FALSE(drawn_length_mm(car, CornerId::rear_left, Length::pushrod).has_value());
}

TEST_CASE("masses may be given by four scales, springs may rest as drawn, the chassis may twist") {
    std::string text = demo_text();
    text = edited(text, "name = \"Wren\"", "name = \"Wren\"\nchassis_twist_Nm_per_deg = 6000.0");
    text = edited(text, "cg_mm = [-1420.0, 4.0, 285.0]",
                  "scales_kg = { front_left = 98.6, front_right = 97.6, rear_left = 151.5, rear_right = 150.3 }\n"
                  "cg_height_mm = 285.0\nunsprung_cg_mm = { front = [0.0, 620.0, 225.0] }");
    text = edited(text, "load_at_drawn_N = 1120.0", "rests_as_drawn = true");
    text = edited(text, "load_at_drawn_N = 1818.0", "rests_as_drawn = true");
    const Car car = load_text(text);
    CHECK_NEAR(car.chassis_twist_Nm_per_deg.value(), 6000.0, 0.0);
    CHECK_NEAR(car.mass.weighing.value().kg[2], 151.5, 0.0);
    CHECK_NEAR(car.mass.cg_height_mm, 285.0, 0.0);
    CHECK_FALSE(car.mass.cg_mm.has_value());
    CHECK(car[CornerId::rear_right].spring.rests_as_drawn);
    CHECK_NEAR(car[CornerId::front_right].unsprung_cg_mm.value().y, -620.0, 0.0);
    CHECK_FALSE(car[CornerId::rear_left].unsprung_cg_mm.has_value());
}

TEST_CASE("a shim under the rack moves the rack's joints with the chassis") {
    const Car car = load_text(edited(demo_text(), "[rear_left]", R"([[front_left.adjuster]]
name = "rack shim"
moves = ["track_rod.inner"]
on = "chassis"
purpose = "toe"
direction = [0.0, 0.0, 2.0]
drawn_with_mm = 0.0
fitted_mm = []
box_mm = [0.5, 1.0]
minutes = 30

[rear_left])"));
    const Adjuster& shim = adjuster(car, CornerId::front_right, "rack shim");
    CHECK_NEAR(shim.changes[0].per_mm.z, 1.0, 0.0);
    CHECK(shim.stack()->on == Body::chassis);
    CHECK(car[CornerId::front_left].carrier(Point::track_rod_inner) == Body::rack);
    CHECK(car[CornerId::rear_left].carrier(Point::track_rod_inner) == Body::chassis);
}

TEST_CASE("limits are those of turns, of length and of thread engaged") {
    const Car car = load_car(demo_path("wren.toml"));
    Adjuster rod = adjuster(car, CornerId::front_left, "track rod");
    const auto broken = [&](double turns) {
        const auto limit = broken_limit(car, CornerId::front_left, rod, turns);
        return limit ? limit->key : std::string();
    };
    CHECK(broken(6.0).empty());
    CHECK(broken(6.001) == "limits_turns");
    auto& thread = std::get<Thread>(rod.setting);
    thread.limits_turns.reset();
    CHECK(broken(6.4).empty());
    CHECK(broken(6.41) == "least_engaged_mm");
    thread.length_limits_mm = {356.0, 360.0};
    const double drawn_mm = drawn_length_mm(car, CornerId::front_left, Length::track_rod).value();
    CHECK(broken((360.0 - drawn_mm) / 2.5).empty());
    CHECK(broken((360.1 - drawn_mm) / 2.5) == "length_limits_mm");
    CHECK(broken(std::nan("")) == "length_limits_mm");
}
