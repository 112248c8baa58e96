#include "shimwise/model/instruments.hpp"

#include <algorithm>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;

TEST_CASE("instruments that a file does not name read nothing and err by nothing, others are what it says") {
    const Instruments none;
    CHECK(none.flag_ruler.resolution_mm == 0.0);
    CHECK(none.scale.span_uncertainty_percent == 0.0);
    CHECK_FALSE(none.camber_gauge.valid_days.has_value());
    const testing::ScratchFolder folder;
    const std::string text = testing::text_of(testing::demo_path("wren.toml"));
    const std::string was = "flag_ruler = { resolution_mm = 0.2";
    REQUIRE(text.find(was) != std::string::npos);
    std::string edited = text;
    edited.replace(text.find(was), was.size(), "flag_ruler = { resolution_mm = 0.25");
    const Instruments read = load_car(folder.write("car.toml", edited)).instruments;
    CHECK(read.flag_ruler.resolution_mm == 0.25);
    CHECK(load_car(testing::demo_path("wren.toml")).instruments.flag_ruler.resolution_mm == 0.2);
}

TEST_CASE("how well a car is known: each key is read, written again, and held to its rule") {
    const testing::ScratchFolder folder;
    const std::string wren = testing::text_of(testing::demo_path("wren.toml"));
    const auto with = [&](const std::string& line) {
        return load_car(folder.write("car.toml", wren + "\n[known]\n" + line + "\n"));
    };
    const std::string head = std::to_string(std::count(wren.begin(), wren.end(), '\n') + 3) + ":";
    const std::vector<std::pair<std::string, double Known::*>> keys = {
        {"toe_deg", &Known::toe_deg},         {"camber_deg", &Known::camber_deg},    {"places_mm", &Known::places_mm},
        {"total_kg", &Known::total_kg},       {"total_at_mm", &Known::total_at_mm},  {"rods_mm", &Known::rods_mm},
        {"pushrods_mm", &Known::pushrods_mm}, {"platforms_mm", &Known::platforms_mm}};
    for (const auto& [key, member] : keys) {
        INFO(key);
        const Car car = with(key + " = 0.125");
        CHECK(car.known.*member == 0.125);
        CHECK(load_car(folder.write("saved.toml", car_text(car))).known.*member == 0.125);
        const std::string at = head + std::to_string(key.size() + 4) + ": known." + key + " = ";
        const auto said = [&](const std::string& value) {
            return testing::complaint(wren + "\n[known]\n" + key + " = " + value + "\n", load_car);
        };
        CHECK(said("-0.5") == at + "-0.5: must not be negative");
        CHECK(said("\"well\"") == at + "\"well\": needs a number");
        CHECK(said("nan") == at + "nan: must be a finite number");
        CHECK_NOTHROW(with(key + " = 0"));
    }
    CHECK(testing::complaint(wren + "\n[known]\nrod_mm = 1.0\n", load_car) ==
          head + "1: known.rod_mm = 1.0: is not a key here; did you mean \"rods_mm\"?");
    const Car plain = load_car(testing::demo_path("wren.toml"));
    CHECK(car_text(plain).find("[known]") == std::string::npos);
}
