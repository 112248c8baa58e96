#include "shimwise/model/car.hpp"

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;

TEST_CASE("a stack draws on the box that it names, else on its own") {
    Car car = load_car(testing::demo_path("wren.toml"));
    Stack& stack =
        std::get<Stack>(car[CornerId::front_left].adjusters[*car[CornerId::front_left].find("camber shim")].setting);
    REQUIRE_FALSE(stack.box.empty());
    CHECK(&car.box_mm(stack) == &car.boxes_mm.at(stack.box));
    stack.box.clear();
    stack.box_mm = {0.3};
    CHECK(car.box_mm(stack) == std::vector<double>{0.3});
    for (std::size_t c = 0; c < corner_count; ++c) CHECK(car[static_cast<CornerId>(c)].id == static_cast<CornerId>(c));
}
