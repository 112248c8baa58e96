// What a well-written file may say and no real car can be: the demo's text with one edit each, and its exact sentence.
#include "shimwise/model/check.hpp"

#include <algorithm>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/adjuster.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

// clang-format off
const std::vector<BrokenFile> no_car = {
    {"zero-length link",
     "inner = [90.0, 232.0, 155.5]",
     "inner = [100.0, 590.0, 153.0]",
     "72:13: front_left.track_rod: is a link of 0 mm between track_rod.inner and track_rod.outer: needs 1 mm or more"},
    {"collinear wishbone",
     "rear = [-150.0, 215.0, 116.0], outer = [6.0, 606.0, 112.0]",
     "rear = [73.0, 410.5, 117.0], outer = [6.0, 606.0, 112.0]",
     "71:18: front_left.lower_wishbone: front, rear and outer lie on one line: a wishbone needs a triangle"},
    {"point on the wrong side",
     "inner = [8.0, 335.0, 425.0]",
     "inner = [8.0, -335.0, 425.0]",
     "73:50: front_left.pushrod.inner = [8.0, -335.0, 425.0]: is on the wrong side: y is above 0 on the left"},
    {"outer joint inboard",
     "outer = [-14.0, 572.0, 338.0]",
     "outer = [-14.0, 262.0, 338.0]",
     "70:90: front_left.upper_wishbone.outer = [-14.0, 262.0, 338.0]: lies inboard of its wishbone's pickups"},
    {"wheel radius",
     "radius_mm = 255.0",
     "radius_mm = -255.0",
     "23:23: setup_wheel.front.radius_mm = -255.0: must be more than 0"},
    {"negative mass",
     "now_kg = 12.0",
     "now_kg = -12.0",
     "20:10: ballast[2].now_kg = -12.0: must not be negative"},
    {"negative rate",
     "rate_N_per_mm = 90.0",
     "rate_N_per_mm = -90.0",
     "74:58: front_left.spring.rate_N_per_mm = -90.0: must be more than 0"},
    {"negative resolution",
     "scale = { resolution_kg = 0.1",
     "scale = { resolution_kg = -0.1",
     "270:27: instruments.scale.resolution_kg = -0.1: must be more than 0"},
    {"damper that excludes the drawn length",
     "shortest_mm = 205.0, longest_mm = 250.0",
     "shortest_mm = 235.0, longest_mm = 250.0",
     "75:10: front_left.damper: its range of 235 to 250 mm excludes the drawn length eye to eye, 230.489 mm"},
    {"ground above a ride-height point",
     "at_mm = [0.0, 310.0, 0.0]",
     "at_mm = [0.0, 310.0, -31.5]",
     "36:24: ride_height_points.front_left.at_mm = [0.0, 310.0, -31.5]: lies 1.49961 mm below the ground plane through the four drawn contacts"},
    {"limits that exclude the present setting",
     "now_turns = 0.0",
     "now_turns = 6.5",
     "95:16: front_left.adjuster \"track rod\".limits_turns = [-6.0, 6.0]: excludes the setting of 6.5 turns: allowed are -6 to 6"},
    {"limits that exclude the present setting",
     "limits_turns = [-6.0, 6.0]",
     "length_limits_mm = [360.0, 370.0]",
     "95:20: front_left.adjuster \"track rod\".length_limits_mm = [360.0, 370.0]: excludes the length of 358.148 mm at 0 turns: allowed are 360 to 370"},
    {"stack outside its limits",
     "limits_mm = [0.0, 6.0]",
     "limits_mm = [4.0, 6.0]",
     "108:13: front_left.adjuster \"camber shim\".limits_mm = [4.0, 6.0]: excludes the stack of 3 mm: allowed are 4 to 6"},
    {"stack drawn with less than nothing",
     "drawn_with_mm = 3.0",
     "drawn_with_mm = -3.0",
     "105:17: front_left.adjuster \"camber shim\".drawn_with_mm = -3.0: must not be negative"},
    {"stack that the fitted shims do not make",
     "fitted_mm = [2.0, 1.0]",
     "fitted_mm = [2.0, 1.0]\nnow_mm = 3.5",
     "107:10: front_left.adjuster \"camber shim\".now_mm = 3.5: is a stack that the fitted shims do not make: they add up to 3 mm"},
    {"shim thinner than any foil",
     "fitted_mm = [2.0, 1.0]",
     "fitted_mm = [3.0, 1e-300]",
     "106:13: front_left.adjuster \"camber shim\".fitted_mm = [3.0, 1e-300]: a shim is 0.001 to 1000 mm thick"},
    {"rake from one axle to itself",
     "rear = \"rear_left\"",
     "rear = \"front_left\"",
     "40:9: rake.front = \"front_left\": does not lie ahead of front_left: rake goes from the front to the rear"},
    {"shim without thickness",
     "fitted_mm = [2.0, 1.0]",
     "fitted_mm = [3.0, 0.0]",
     "106:13: front_left.adjuster \"camber shim\".fitted_mm = [3.0, 0.0]: a shim is thicker than 0 mm"},
    {"too little thread engaged",
     "engaged_mm = 20.0",
     "engaged_mm = 11.0",
     "94:20: front_left.adjuster \"track rod\".least_engaged_mm = 12.0: too little thread is engaged: 11 mm at 0 turns, needs 12 mm"},
    {"drawn at its toggle",
     "inner = [8.0, 335.0, 425.0]",
     "inner = [8.0, 326.5, 354.6]",
     "73:11: front_left.pushrod: is drawn at its toggle: its leverage on the rocker is 0.0006, needs 0.02 or more"},
    {"drawn at its toggle",
     "inner = [90.0, 232.0, 155.5]",
     "inner = [448.2, 555.0, 153.0]",
     "72:13: front_left.track_rod: is drawn at its toggle: its leverage on the upright is 0.0002, needs 0.02 or more"},
    {"unsprung masses above the total",
     "front = 14.5, rear = 17.0",
     "front = 150.0, rear = 150.0",
     "10:15: mass.unsprung_kg: the four unsprung masses add up to 600 kg, the total is 498 kg"},
    {"fault of the right side alone",
     "[instruments]",
     "[front_right]\ntrack_rod = { outer = [100.0, 590.0, 153.0] }\n\n[instruments]",
     "267:23: front_right.track_rod.outer = [100.0, 590.0, 153.0]: is on the wrong side: y is below 0 on the right"},
};
// clang-format on

}  // namespace

TEST_CASE("a file that describes no car gets one sentence per fault") {
    CHECK(no_car.size() >= 20);
    const std::string good = text_of(demo_path("wren.toml"));
    for (const BrokenFile& broken : no_car) {
        INFO(broken.kind << ": " << broken.to);
        CHECK(complaint(edited(good, broken.from, broken.to), load_car) == broken.expected);
    }
}

TEST_CASE("a front axle that lies behind the rear one is no car") {
    Car car = load_car(demo_path("wren.toml"));
    std::swap(car[CornerId::front_left].points, car[CornerId::rear_left].points);
    const auto said = [&] {
        std::string all;
        for (const Problem& problem : check(car)) all += sentence(problem) + "\n";
        return all;
    };
    const std::string rule = "wheel.centre: lies 2345 mm behind the rear wheel's: x points forward";
    CHECK(said().find("front_left." + rule) != std::string::npos);
    CHECK(said().find("front_right." + rule) == std::string::npos);
    std::swap(car[CornerId::front_right].points, car[CornerId::rear_right].points);
    CHECK(said().find("front_right." + rule) != std::string::npos);
}

TEST_CASE("a car in memory is checked as one from a file, and its problems have no lines") {
    Car car = load_car(demo_path("wren.toml"));
    CHECK(check(car).empty());
    car.corners[index(CornerId::rear_right)].wheel.radius_mm = 0.0;
    const std::vector<Problem> problems = check(car);
    REQUIRE(problems.size() >= 1);
    CHECK(problems.front().line == 0);
    CHECK(adjuster_field(CornerId::rear_right, "toe link") == "rear_right.adjuster \"toe link\"");
}

TEST_CASE("a contact lies below the lower edge of a leaning disc, and below the middle of an upright one") {
    Corner corner;
    corner.points[index(Point::wheel_centre)] = Vec3<double>{0.0, 600.0, 250.0};
    corner.wheel.radius_mm = 255.0;
    corner.wheel.width_mm = 10.0;
    corner.wheel_axis = {0.0, 1.0, 0.0};
    CHECK_NEAR(drawn_contact(corner).y, 600.0, 1e-12);
    CHECK_NEAR(drawn_contact(corner).z, -5.0, 1e-12);
    corner.wheel_axis = {0.0, 0.8, 0.6};  // top inboard by a 3-4-5 triangle: the inboard edge is the lower one
    CHECK_NEAR(drawn_contact(corner).y, 600.0 - 5.0 * 0.8 + 255.0 * 0.6, 1e-12);
    CHECK_NEAR(drawn_contact(corner).z, 250.0 - 5.0 * 0.6 - 255.0 * 0.8, 1e-12);
}

TEST_CASE("a corner has no more adjusters than what moves it can hold") {
    Car car = load_car(demo_path("wren.toml"));
    std::vector<Adjuster>& adjusters = car[CornerId::rear_right].adjusters;
    while (adjusters.size() <= max_adjusters) adjusters.push_back(adjusters.front());
    const std::vector<Problem> problems = check(car);
    const auto too_many = [](const Problem& p) { return p.rule == "a corner may have 32 adjusters"; };
    CHECK(std::count_if(problems.begin(), problems.end(), too_many) == 1);
}
