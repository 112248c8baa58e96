#include "shimwise/workshop/files/targets.hpp"

#include <cmath>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/units.hpp"

using namespace shimwise;
using namespace shimwise::testing;

TEST_CASE("the demo's targets are in the units of what is wanted") {
    const Targets targets = load_targets(demo_path("wren_targets.toml"), load_car(demo_path("wren.toml")));
    const auto corner = targets_by_name(targets, ValueId::Of::corner, index(CornerId::front_left));
    CHECK_NEAR(corner.at("toe").value.value(), 0.10, 0.0);
    CHECK_NEAR(corner.at("toe").tolerance, std::asin(0.5 / 520.0) * deg_per_rad, 1e-15);
    CHECK_FALSE(corner.at("toe").tolerance_is_common_practice);
    CHECK_FALSE(corner.at("toe").flag_span_mm);  // the tolerance alone is in mm
    CHECK_FALSE(corner.at("caster").value.has_value());
    CHECK_NEAR(corner.at("caster").least.value(), 4.0, 0.0);
    CHECK_NEAR(targets.values.at(CarOutput::rake).value.value(), 12.0, 0.0);
    CHECK_NEAR(targets.values.at(CarOutput::front_difference).tolerance, 1.0, 0.0);
    CHECK_NEAR(targets_by_name(targets, ValueId::Of::ride_height).at("rear_right").value.value(), 42.0, 0.0);
    CHECK(targets.values.count({CornerId::rear_left, Output::caster}) == 0);
}

// Common practice, no source.
TEST_CASE("a tolerance left out is common practice and is marked so") {
    const ScratchFolder folder;
    const Targets targets = load_targets(folder.write("short.toml", R"(format = "shimwise-targets/1"
[rear_left]
toe = { value_mm = 1.5 }
camber = { value_deg = -1.6 }
[car]
front_difference = { value_kg = 0.0 }
rear_difference = { value_kg = 3.0 }
[ride_height]
front_left = { value_mm = 30.0 }
)"),
                                         load_car(demo_path("wren.toml")));
    const auto corner = targets_by_name(targets, ValueId::Of::corner, index(CornerId::rear_left));
    CHECK_NEAR(corner.at("toe").value.value(), std::asin(1.5 / 520.0) * deg_per_rad, 1e-15);
    CHECK_NEAR(corner.at("toe").tolerance, std::asin(0.5 / 520.0) * deg_per_rad, 1e-15);
    CHECK(corner.at("toe").tolerance_is_common_practice);
    CHECK(corner.at("toe").flag_span_mm == 520.0);
    CHECK_NEAR(corner.at("camber").tolerance, 0.05, 0.0);
    CHECK(corner.at("camber").tolerance_is_common_practice);
    CHECK_NEAR(targets.values.at(CarOutput::front_difference).tolerance, 1.0, 0.0);
    CHECK_NEAR(targets.values.at(CarOutput::rear_difference).tolerance, 10.0, 0.0);
    CHECK_NEAR(targets_by_name(targets, ValueId::Of::ride_height).at("front_left").tolerance, 0.5, 0.0);
}

TEST_CASE("what is left to the droop stop is a most of the spring's length, the least of both where both are asked") {
    const ScratchFolder folder;
    Car car = load_car(demo_path("wren.toml"));
    const double longest_mm = car[CornerId::front_left].damper->longest_mm;
    const auto most_of = [&](const std::string& more) {
        const std::string text =
            "format = \"shimwise-targets/1\"\n[front_left]\nto_droop_stop = { least_mm = 4.0 }\n" + more;
        return targets_from({"droop.toml", text}, car).values.at({CornerId::front_left, Output::spring_length}).most;
    };
    CHECK(most_of("") == longest_mm - 4.0);
    CHECK(most_of("spring_length = { most_mm = 100.0 }\n") == 100.0);
    CHECK(most_of("spring_length = { most_mm = 900.0 }\n") == longest_mm - 4.0);
    car[CornerId::front_left].damper.reset();
    CHECK_THROWS_WITH(most_of(""),
                      "droop.toml:3:17: front_left.to_droop_stop: the car file gives this corner no damper");
}
