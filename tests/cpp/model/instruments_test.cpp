#include "shimwise/model/instruments.hpp"

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
