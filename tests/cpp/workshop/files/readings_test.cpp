#include "shimwise/workshop/files/readings.hpp"

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using namespace shimwise::testing;

TEST_CASE("the demo's readings are what the clipboard says") {
    const Car car = load_car(demo_path("wren.toml"));
    const Readings readings = load_readings(demo_path("wren_readings.toml"), car);
    CHECK(readings.place == "barn plate");
    CHECK(readings.at == "2026-05-02T08:10:00Z");
    CHECK(readings.bars == BarsWere::off);
    CHECK(readings.rack_locked);
    CHECK_FALSE(readings.struts_solid);
    CHECK(readings.heights_from_pads);
    CHECK_NEAR(readings.ballast_kg.at("driver"), 75.0, 0.0);
    CHECK_NEAR(readings.front_bar_mm.value()[1], 905.0, 0.0);
    CHECK_NEAR(readings.pad_height_mm.value()[2], -0.1, 0.0);
    CHECK(readings.packing_mm.size() == 4);
    CHECK(readings.ride_heights_mm.at("front_right") == std::vector<double>{29.4, 29.6});
    CHECK(readings.ride_heights_mm.at("rear_left") == std::vector<double>{42.8});
    CHECK_NEAR(readings.gauge_check_deg.value().turned.value(), 0.02, 0.0);
    const CornerReadings& corner = readings.corners[index(CornerId::rear_right)];
    CHECK_NEAR(corner.flags_mm.value().rear_mm, 43.4, 0.0);
    CHECK_NEAR(corner.camber_deg.value().facing, -1.44, 0.0);
    CHECK_FALSE(corner.camber_deg.value().turned.has_value());
    CHECK_NEAR(corner.scale_kg.value(), 151.9, 0.0);
    CHECK(corner.shims_mm.at("camber shim") == std::vector<double>{2.0, 1.0});
}

TEST_CASE("what was not read stays empty") {
    const Car car = load_car(demo_path("wren.toml"));
    const ScratchFolder folder;
    const Readings readings = load_readings(folder.write("few.toml", R"(format = "shimwise-readings/1"
[front_left]
camber_deg = { facing = -2.7, turned = 2.8 }
lengths_mm = { track_rod = 358.3, "upper_wishbone.front_leg" = 327.0 }
)"),
                                            car);
    CHECK_FALSE(readings.rack_locked);
    CHECK_FALSE(readings.front_bar_mm.has_value());
    CHECK_FALSE(readings.gauge_check_deg.has_value());
    const CornerReadings& corner = readings.corners[0];
    CHECK_FALSE(corner.flags_mm.has_value());
    CHECK_NEAR(corner.camber_deg.value().turned.value(), 2.8, 0.0);
    CHECK_NEAR(corner.lengths_mm.at(Length::upper_wishbone_front_leg), 327.0, 0.0);
}
