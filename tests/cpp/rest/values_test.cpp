#include "shimwise/rest/values.hpp"

#include <string>
#include <vector>

#include "catch.hpp"
#include "rest/cars.hpp"

using namespace shimwise;

TEST_CASE("a car's values come in the order of the lists, by names that carry their unit, without what it lacks") {
    for (const cars::Kind& kind : cars::kinds()) {
        INFO(kind.name);
        const RestModel m = rest_model(cars::car(kind));
        const RestState s = rest(m, cars::pads(kind));
        const std::vector<RestOutput> outputs = rest_outputs(m);
        const std::vector<double> all = row(s.values, outputs);
        REQUIRE(all.size() == outputs.size());
        const auto of = [&](const std::string& name) -> const double* {
            for (std::size_t i = 0; i < outputs.size(); ++i)
                if (outputs[i].name == name) return &all[i];
            return nullptr;
        };
        CHECK(outputs.front().name == "height_mm");
        REQUIRE(of("cross_weight_percent") != nullptr);
        CHECK(*of("cross_weight_percent") == s.values.at(CarOutput::cross_weight));
        CHECK(*of("front_left.toe_deg") == s.values.at(CornerId::front_left, Output::toe));
        CHECK(*of("rear_right.weight_kg") == s.values.at(CornerId::rear_right, CornerLoad::weight));
        CHECK(*of("ride_height.rear_left_mm") == s.values.ride_heights_mm[2]);
        CHECK((of("front_bar_torque_Nm") != nullptr) == kind.front.bar);
        CHECK((of("rear_third_load_N") != nullptr) == (kind.rear.third != cars::ThirdBy::none));
        CHECK((of("twist_deg") != nullptr) == kind.twists);
    }
}
