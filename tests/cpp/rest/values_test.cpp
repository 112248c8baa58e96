#include "shimwise/rest/values.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "catch.hpp"
#include "rest/cars.hpp"

using namespace shimwise;

// The list says what a sum of toes is; the car at rest works it out by itself.
TEST_CASE("a sum of the wheels' toe is the one the list says") {
    for (const cars::Kind& kind : cars::kinds()) {
        const RestModel m = rest_model(cars::car(kind, 1));
        const RestValues<double> values = rest(m).values;
        std::size_t sums = 0;
        for (std::size_t o = 0; o < at_rest_count; ++o) {
            const auto& share = car_output_list[o].of_toe;
            if (share == std::array<double, corner_count>{}) continue;
            INFO(kind.name << ": " << car_output_list[o].name);
            double sum = 0.0;
            for (std::size_t c = 0; c < corner_count; ++c)
                sum += share[c] * values.at(static_cast<CornerId>(c), Output::toe);
            CHECK_NEAR(values.car[o], sum, 1e-12);
            ++sums;
        }
        CHECK(sums == 3);
    }
}

TEST_CASE("a car at rest has the values that it has the parts for") {
    for (const cars::Kind& kind : cars::kinds()) {
        const RestModel m = rest_model(cars::car(kind, 1));
        const std::vector<ValueId> outputs = rest_outputs(m);
        const auto has = [&](CarOutput o) {
            return std::find(outputs.begin(), outputs.end(), ValueId(o)) != outputs.end();
        };
        INFO(kind.name);
        CHECK(has(CarOutput::twist) == kind.twists);
        CHECK(has(CarOutput::front_bar_torque) == kind.front.bar);
        CHECK(has(CarOutput::rear_bar_torque) == kind.rear.bar);
        CHECK(has(CarOutput::front_third_load) == (kind.front.third != cars::ThirdBy::none));
        CHECK(has(CarOutput::rear_third_load) == (kind.rear.third != cars::ThirdBy::none));
        CHECK_FALSE(has(CarOutput::total_weight));
        CHECK_FALSE(has(CarOutput::mean_height));
    }
}

TEST_CASE("a car's values come in the order of the lists, by names that carry their unit") {
    for (const cars::Kind& kind : cars::kinds()) {
        INFO(kind.name);
        const RestModel m = rest_model(cars::car(kind));
        const RestState s = rest(m, cars::pads(kind));
        const std::vector<ValueId> outputs = rest_outputs(m);
        const std::vector<double> all = row(s.values, outputs);
        REQUIRE(all.size() == outputs.size());
        const auto of = [&](const std::string& name) {
            const auto found = std::find_if(outputs.begin(), outputs.end(),
                                            [&](const ValueId& id) { return column_name(id) == name; });
            REQUIRE(found != outputs.end());
            return all[static_cast<std::size_t>(found - outputs.begin())];
        };
        CHECK(column_name(outputs.front()) == "height_mm");
        CHECK(of("cross_weight_percent") == s.values.at(CarOutput::cross_weight));
        CHECK(of("front_left.toe_deg") == s.values.at(CornerId::front_left, Output::toe));
        CHECK(of("rear_right.weight_kg") == s.values.at(CornerId::rear_right, CornerLoad::weight));
        CHECK(of("ride_height.rear_left_mm") == s.values.ride_heights_mm[2]);
    }
}
