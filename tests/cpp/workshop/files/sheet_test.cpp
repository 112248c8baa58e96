#include "shimwise/workshop/files/sheet.hpp"

#include <functional>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/files/readings.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

std::string quoted(const std::string& name) { return "\"" + name + "\""; }

/// A readings file with every field of a sheet.
std::string filled(const Sheet& sheet) {
    std::string text = "format = \"shimwise-readings/1\"\n[state]\nbars = \"off\"\n";
    for (const auto& [name, kg] : sheet.ballast_kg)
        text += "ballast_kg." + quoted(name) + " = " + std::to_string(kg) + "\n";
    if (sheet.strings)
        text +=
            "[strings]\nfront_bar_mm = { left = 900.0, right = 900.0 }\nrear_bar_mm = { left = 900.0, right = 900.0 "
            "}\n";
    if (sheet.pads)
        text += "[pads]\nheight_mm = { front_left = 0.0, front_right = 0.0, rear_left = 0.0, rear_right = 0.0 }\n";
    if (!sheet.ride_heights.empty()) text += "[ride_heights_mm]\n";
    for (const std::string& name : sheet.ride_heights) text += quoted(name) + " = 40.0\n";
    if (sheet.camber_gauge) text += "[gauge_check]\ncamber_gauge_deg = { facing = 0.1, turned = -0.1 }\n";
    for (std::size_t c = 0; c < corner_count; ++c) {
        const CornerSheet& corner = sheet.corners[c];
        text += "[" + std::string(corner_names[c]) + "]\n";
        if (corner.flags) text += "flags_mm = { front = 100.0, rear = 101.0 }\n";
        if (corner.camber) text += "camber_deg = -2.0\n";
        if (corner.scale) text += "scale_kg = 150.0\n";
        for (const auto& [pack, mm] : corner.shims_mm) text += "shims_mm." + quoted(pack) + " = [1.0]\n";
        for (const auto& [length, turned] : corner.lengths)
            text += "lengths_mm." + quoted(length) + " = " + std::to_string(turned.now_mm) + "\n";
    }
    return text;
}

struct Missing {
    std::function<void(Car&)> take_away;
    std::string sentence;
};

const std::vector<Missing> what_may_be_missing = {
    {[](Car& car) { car.instruments.flag_ruler = {}; }, "Flags: the car file gives no [instruments] flag_ruler."},
    {[](Car& car) { car.corners[2].wheel.flag_span_mm = car.corners[3].wheel.flag_span_mm = 0.0; },
     "Flags at every wheel: the car file gives no setup_wheel flag_span_mm at each axle."},
    {[](Car& car) { car.instruments.camber_gauge = {}; }, "Camber: the car file gives no [instruments] camber_gauge."},
    {[](Car& car) { car.instruments.scale = {}; }, "Scales: the car file gives no [instruments] scale."},
    {[](Car& car) { car.instruments.height_gauge = {}; },
     "Ride heights: the car file gives no [instruments] height_gauge."},
    {[](Car& car) { car.ride_heights.clear(); }, "Ride heights: the car file gives no [ride_height_points]."},
    {[](Car& car) { car.instruments.pad_level = {}; }, "Pads: the car file gives no [instruments] pad_level."},
    {[](Car& car) { car.strings.bars_apart_mm = 0.0; }, "Strings: the car file gives no [strings] bars_apart_mm."},
};

}  // namespace

TEST_CASE("readings take every field of the sheet, and refuse what it leaves out") {
    const Car car = load_car(demo_path("wren.toml"));
    const ScratchFolder folder;
    const std::string all = folder.write("all.toml", filled(sheet(car)));
    CHECK(sheet(car).left_out.empty());
    CHECK_NOTHROW(load_readings(all, car));
    int count = 0;
    for (const Missing& missing : what_may_be_missing) {
        INFO(missing.sentence);
        Car less = car;
        missing.take_away(less);
        const Sheet left = sheet(less);
        CHECK(left.left_out == std::vector<std::string>{missing.sentence});
        CHECK_THROWS_AS(load_readings(all, less), InputError);
        CHECK_NOTHROW(load_readings(folder.write("left" + std::to_string(count++) + ".toml", filled(left)), less));
    }
}

TEST_CASE("the sheet says how the car is set, in the order of its file") {
    Car car = load_car(demo_path("wren.toml"));
    const Sheet now = sheet(car);
    CHECK(now.car == car.name);
    CHECK(now.steered);
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Corner& corner = car.corners[c];
        std::size_t packs = 0, turned = 0, rods = 0;
        for (const Adjuster& adjuster : corner.adjusters) {
            if (const Stack* stack = adjuster.stack()) {
                REQUIRE(packs < now.corners[c].shims_mm.size());
                CHECK(now.corners[c].shims_mm[packs].first == adjuster.name);
                CHECK(now.corners[c].shims_mm[packs++].second == stack->fitted_mm);
            } else if (adjuster.length() && adjuster.length() != Length::spring_platform) {
                ++rods;
            }
        }
        CHECK(packs == now.corners[c].shims_mm.size());
        for (const auto& [name, length] : now.corners[c].lengths) {
            CHECK_NEAR(length.now_mm, *present_length_mm(car, corner.id, *named<Length>(length_names, name)), 0.0);
            turned += length.adjusters.size();
        }
        CHECK(turned == rods);
    }
    Corner& corner = car[CornerId::front_left];
    Thread& rod = std::get<Thread>(corner.adjusters[*corner.find("track rod")].setting);
    rod.now_turns += 0.5;
    double longer_mm = 0.0;
    for (std::size_t l = 0; l < now.corners[0].lengths.size(); ++l)
        longer_mm += sheet(car).corners[0].lengths[l].second.now_mm - now.corners[0].lengths[l].second.now_mm;
    CHECK_NEAR(longer_mm, 0.5 * rod.lead_mm(), 1e-12);
}
