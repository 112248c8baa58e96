#include "shimwise/model/value_id.hpp"

#include <algorithm>
#include <set>

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;

namespace {

std::vector<ValueId> all_of(const Car& car) {
    std::vector<ValueId> all;
    for (std::size_t c = 0; c < corner_count; ++c) {
        for (std::size_t o = 0; o < output_count; ++o)
            all.emplace_back(static_cast<CornerId>(c), static_cast<Output>(o));
        for (std::size_t o = 0; o < corner_load_count; ++o)
            all.emplace_back(static_cast<CornerId>(c), static_cast<CornerLoad>(o));
    }
    for (std::size_t p = 0; p < car.ride_heights.size(); ++p) all.push_back(ValueId::ride_height(car, p));
    for (std::size_t o = 0; o < car_output_count; ++o) all.emplace_back(static_cast<CarOutput>(o));
    return all;
}

}  // namespace

TEST_CASE("a key names its value and no other") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    std::set<std::string> keys_seen;
    for (const ValueId& id : all_of(car)) {
        INFO(key(id));
        CHECK(keys_seen.insert(key(id)).second);
        CHECK(named(car, key(id)) == id);
        CHECK(column_name(id).starts_with(key(id)));
    }
    CHECK(key({CornerId::front_left, Output::toe}) == "front_left.toe");
    CHECK(key(ValueId::ride_height(car, 0)) == "ride_height." + car.ride_heights[0].name);
    CHECK(column_name(ValueId(CarOutput::cross_weight)) == "cross_weight_percent");
    for (const char* none : {"", "toe", "front_left", "front_left.", "front.toe", "ride_height.nowhere", "rake_mm"})
        CHECK_FALSE(named(car, none));
}

TEST_CASE("values stand corner by corner, then points, then the car, each by name") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    std::vector<ValueId> all = all_of(car);
    std::sort(all.begin(), all.end());
    for (std::size_t i = 1; i < all.size(); ++i) {
        CHECK(all[i - 1] < all[i]);
        CHECK_FALSE(all[i] < all[i - 1]);
    }
    CHECK(all.front().is(Output::bump_steer));
    CHECK(all.back().is(CarOutput::twist));
    const auto first_of = [&](ValueId::Of of) {
        return std::find_if(all.begin(), all.end(), [of](const ValueId& id) { return id.of == of; });
    };
    CHECK(first_of(ValueId::Of::ride_height) < first_of(ValueId::Of::car));
    CHECK((first_of(ValueId::Of::ride_height) - 1)->corner == index(CornerId::rear_right));
}

TEST_CASE("adjusters of a value are at its corner, its axle or all round") {
    using Corners = std::vector<std::size_t>;
    CHECK(corners_of({CornerId::rear_left, Output::camber}) == Corners{2});
    CHECK(corners_of(CarOutput::total_toe_front) == Corners{0, 1});
    CHECK(corners_of(CarOutput::thrust_angle) == Corners{2, 3});
    CHECK(corners_of(CarOutput::cross_weight) == Corners{0, 1, 2, 3});
}

TEST_CASE("what a car lacks for a value is named as its file names it") {
    Car car = load_car(testing::demo_path("wren.toml"));
    const auto missing = [&car](CarOutput output) { return missing_for(car, info(output)); };
    CHECK(missing(CarOutput::rake).empty());
    CHECK(missing(CarOutput::front_bar_torque).empty());
    CHECK(missing(CarOutput::cross_weight).empty());
    car.rake_rear.clear();
    car.bars[0].reset();
    car.thirds[1].reset();
    car.chassis_twist_Nm_per_deg.reset();
    CHECK(missing(CarOutput::rake) == "the car file has no [rake]");
    CHECK(missing(CarOutput::front_bar_torque) == "the car file has no [front_bar]");
    CHECK(missing(CarOutput::rear_bar_torque).empty());
    CHECK(missing(CarOutput::rear_third_load) == "the car file has no [rear_third]");
    CHECK(missing(CarOutput::twist) == "the car file has no chassis_twist_Nm_per_deg");
}
