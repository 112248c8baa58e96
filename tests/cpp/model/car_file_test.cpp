#include "shimwise/model/car_file.hpp"

#include <cmath>

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/units.hpp"

using namespace shimwise;

namespace {

const std::string demo_file = testing::demo_path("wren.toml");

Car demo() { return load_car(demo_file); }

}  // namespace

TEST_CASE("the demo car is what its file says") {
    const Car car = demo();
    CHECK(car.name == "Wren");
    CHECK(car.file == demo_file);
    CHECK_NEAR(car.mass.total_kg, 498.0, 0.0);
    CHECK_NEAR(car.mass.cg_mm.value().y, 4.0, 0.0);
    CHECK(car.ballast.size() == 2);
    CHECK(car.ballast[1].name == "fuel");
    CHECK_FALSE(car.chassis_twist_Nm_per_deg.has_value());
    CHECK(car.boxes_mm.at("front").size() == 9);
    CHECK(car.bars[0].value().blade == "medium");
    CHECK_NEAR(car.bars[0].value().rate_Nm_per_deg, 4.5, 0.0);
    CHECK(car.thirds[0].has_value());
    CHECK_FALSE(car.thirds[1].has_value());
    CHECK_NEAR(car.rack.value().least_mm, -32.0, 0.0);
    CHECK_NEAR(car.instruments.camber_gauge.resolution_deg, 0.02, 0.0);
    CHECK(car.instruments.camber_gauge.checked == "2026-04-20");
    CHECK(car.instruments.camber_gauge.valid_days.value() == 60);
    CHECK_NEAR(car.settling.lateral_mm, 0.15, 0.0);
    CHECK(car.strings.on_car);

    const Corner& corner = car[CornerId::front_left];
    CHECK_NEAR(corner.at(Point::track_rod_outer).x, 100.0, 0.0);
    CHECK(corner.rack_direction.has_value());
    CHECK_FALSE(car[CornerId::rear_left].rack_direction.has_value());
    CHECK(corner.pushrod_outer_on == Body::lower_wishbone);
    CHECK_NEAR(corner.spring.load_at_drawn_N.value(), 1120.0, 0.0);
    CHECK_NEAR(corner.bump_rubber.value().force_N_at_mm[1][1], 400.0, 0.0);
    CHECK_NEAR(corner.unsprung_kg, 14.5, 0.0);
    CHECK_NEAR(corner.tyre.value().rate_N_per_mm.value(), 180.0, 0.0);
    CHECK(check(car).empty());
}

TEST_CASE("the adjusters of the demo car are lists of changes") {
    const Car car = demo();
    const Corner& corner = car[CornerId::front_left];
    REQUIRE(corner.adjusters.size() == 7);
    const Adjuster& rod = corner.adjusters[corner.find("track rod").value()];
    CHECK(rod.length() == Length::track_rod);
    CHECK(rod.purpose == Purpose::toe);
    CHECK_NEAR(rod.thread()->lead_mm(), 2.5, 0.0);
    CHECK_NEAR(rod.thread()->lock_turns, 0.0, 0.0);
    CHECK_NEAR(rod.thread()->step_turns, 1.0 / 24.0, 1e-15);
    CHECK_NEAR(rod.minutes, 4.0, 0.0);
    const Adjuster& shim = corner.adjusters[corner.find("camber shim").value()];
    REQUIRE(shim.stack() != nullptr);
    CHECK(std::get<Point>(shim.changes[0].what) == Point::upper_wishbone_outer);
    CHECK_NEAR(shim.changes[0].per_mm.y, -1.0, 0.0);
    CHECK(shim.stack()->on == Body::upright);
    CHECK_NEAR(shim.amount_mm(), 0.0, 1e-15);
    const Adjuster& platform = corner.adjusters[corner.find("spring platform").value()];
    CHECK_NEAR(platform.thread()->step_turns, 1.0 / 12.0, 1e-15);
    const Adjuster& leg = corner.adjusters[corner.find("upper front leg").value()];
    CHECK_NEAR(leg.thread()->lock_turns, 0.5, 0.0);
    CHECK(car[CornerId::rear_left].adjusters[1].changes.size() == 2);
}

TEST_CASE("the right side is the mirror image of the left") {
    const Car car = demo();
    const Corner& left = car[CornerId::rear_left];
    const Corner& right = car[CornerId::rear_right];
    CHECK(right.id == CornerId::rear_right);
    for (std::size_t i = 0; i < point_count; ++i) {
        REQUIRE(left.points[i].has_value() == right.points[i].has_value());
        if (!left.points[i]) continue;
        CHECK_NEAR(right.points[i]->x, left.points[i]->x, 0.0);
        CHECK_NEAR(right.points[i]->y, -left.points[i]->y, 0.0);
        CHECK_NEAR(right.points[i]->z, left.points[i]->z, 0.0);
    }
    CHECK_NEAR(right.wheel_axis.x, left.wheel_axis.x, 0.0);
    CHECK_NEAR(right.wheel_axis.y, -left.wheel_axis.y, 0.0);
    CHECK_NEAR(right.rocker_axis.x, left.rocker_axis.x, 0.0);
    CHECK_NEAR(right.adjusters[1].changes[0].per_mm.y, 1.0, 0.0);
    CHECK_NEAR(car.bars[1].value().arm[1].y, -240.0, 0.0);
    CHECK_NEAR(car.thirds[0].value().at_mm[1].y, -278.0, 0.0);
    REQUIRE(car.ride_heights.size() == 4);
    CHECK(car.ride_heights[1].name == "front_right");
    CHECK_NEAR(car.ride_heights[1].at_mm.y, -310.0, 0.0);
}

TEST_CASE("toe and camber of the drawn wheel axis are projected angles") {
    const Vec3<double> axis = demo()[CornerId::front_left].wheel_axis;
    CHECK_NEAR(std::atan(axis.x / axis.y) * deg_per_rad, 0.10, 1e-12);
    CHECK_NEAR(-std::atan(axis.z / axis.y) * deg_per_rad, -2.60, 1e-12);
}

TEST_CASE("the drawn contacts of the demo car lie as far below the floor as its ride heights say") {
    const Car car = demo();
    CHECK_NEAR(drawn_contact(car[CornerId::front_left]).z, -30.0, 1e-3);
    CHECK_NEAR(drawn_contact(car[CornerId::rear_right]).z, -42.0, 1e-3);
}
