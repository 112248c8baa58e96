#include "shimwise/workshop/files/settings.hpp"

#include <cmath>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using namespace shimwise::testing;

TEST_CASE("settings written and read again are the same to the last bit") {
    const ScratchFolder folder;
    const Car car = load_car(demo_path("wren.toml"));
    Settings settings = settings_of(car);
    CHECK(settings.turns.size() == 20);
    CHECK(settings.shims_mm.size() == 4);
    CHECK(settings.box_mm.size() == 2);
    settings.turns["front_left.track rod"] = 1.0 / 24.0;
    settings.turns["front_right.track rod"] = 0.1 + 0.2;
    settings.turns["rear_left.pushrod"] = -3.0;
    settings.turns["rear_right.pushrod"] = std::nextafter(1.0, 2.0);
    settings.turns["rear_right.toe link"] = -1e-300;
    settings.shims_mm["rear_left.camber shim"] = {};
    settings.shims_mm["rear_right.camber shim"] = {2.0, 0.1 + 0.2};
    settings.box_mm["front"] = {0.1, 1.0 / 3.0};
    save_settings(settings, folder / "now.toml");
    const Settings again = load_settings(folder / "now.toml", car);
    CHECK(again.car == "Wren");
    CHECK(again.turns == settings.turns);
    CHECK(again.shims_mm == settings.shims_mm);
    CHECK(again.box_mm == settings.box_mm);
    CHECK_THROWS_AS(save_settings(settings, folder / "now.toml"), InputError);
}

TEST_CASE("a car with settings differs by them alone") {
    const Car car = load_car(demo_path("wren.toml"));
    Settings settings;
    settings.turns["front_left.track rod"] = 1.25;
    settings.shims_mm["rear_right.camber shim"] = {2.0, 0.5};
    settings.box_mm["rear"] = {1.0};
    const Car changed = with_settings(car, settings);
    Settings expected = settings_of(car);
    expected.turns["front_left.track rod"] = 1.25;
    expected.shims_mm["rear_right.camber shim"] = {2.0, 0.5};
    expected.box_mm["rear"] = {1.0};
    const Settings now = settings_of(changed);
    CHECK(now.turns == expected.turns);
    CHECK(now.shims_mm == expected.shims_mm);
    CHECK(now.box_mm == expected.box_mm);
}

TEST_CASE("a setting that breaks a limit is refused") {
    const Car car = load_car(demo_path("wren.toml"));
    const auto said = [&](const Settings& settings) {
        try {
            with_settings(car, settings);
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    Settings settings;
    settings.turns["rear_left.toe link"] = 6.5;
    settings.shims_mm["front_left.camber shim"] = {6.5};
    CHECK(said(settings) ==
          "turns.\"rear_left.toe link\": limits_turns: excludes the setting of 6.5 turns: allowed are -6 to 6\n"
          "shims_mm.\"front_left.camber shim\": limits_mm: excludes the stack of 6.5 mm: allowed are 0 to 6");
    settings = {};
    settings.turns["rear_left.toelink"] = std::nan("");
    CHECK(said(settings) ==
          "turns.\"rear_left.toelink\": must be a finite number\n"
          "turns.\"rear_left.toelink\": is no adjuster of the car; did you mean \"rear_left.toe link\"?");
}
