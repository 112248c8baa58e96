#include "shimwise/model/bars.hpp"

#include <stdexcept>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;

namespace {

Car with_blades() {
    Car car = load_car(testing::demo_path("wren.toml"));
    car.bars[0]->blades_Nm_per_deg = {{"hard", 5.0}, {"soft", 1.5}};
    car.bars[0]->blade = "soft";
    car.bars[0]->rate_Nm_per_deg = 1.5;
    return car;
}

std::string refusal(const Car& car, std::size_t axle, const std::string& blade) {
    try {
        with_bar(car, axle, true, blade);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("a bar goes on and off, the other one and its blade stay") {
    const Car car = with_blades();
    REQUIRE_FALSE(car.bars[0]->connected);
    const Car on = with_bar(car, 0, true);
    CHECK(on.bars[0]->connected);
    CHECK(on.bars[0]->blade == "soft");
    CHECK(on.bars[0]->rate_Nm_per_deg == 1.5);
    CHECK(on.bars[1]->connected == car.bars[1]->connected);
    CHECK_FALSE(with_bar(on, 0, false).bars[0]->connected);
    CHECK(with_bar(car, 1, true).bars[1]->connected);
}

TEST_CASE("a blade brings its own rate") {
    const Car car = with_blades();
    const Car hard = with_bar(car, 0, true, "hard");
    CHECK(hard.bars[0]->blade == "hard");
    CHECK(hard.bars[0]->rate_Nm_per_deg == 5.0);
    CHECK_FALSE(with_bar(car, 0, false, "hard").bars[0]->connected);
}

TEST_CASE("a bar or a blade that is not there is named") {
    Car car = with_blades();
    car.file = "car.toml";
    CHECK(refusal(car, 0, "sof") ==
          "car.toml: front_bar.blade = \"sof\": is no blade of this bar; did you mean \"soft\"?");
    CHECK(refusal(car, 1, "soft") == "car.toml: rear_bar.blade = \"soft\": this bar has no blades, but one rate");
    car.bars[1].reset();
    CHECK(refusal(car, 1, "") == "car.toml: rear_bar: the car has none");
    CHECK_THROWS_AS(with_bar(car, 2, true), std::out_of_range);
}
