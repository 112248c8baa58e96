#include "shimwise/motion/steering.hpp"

#include <cmath>
#include <vector>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/motion/sweep.hpp"
#include "shimwise/units.hpp"

using namespace shimwise;

namespace {

Car demo() { return load_car(testing::demo_path("wren.toml")); }

std::vector<double> block_of(const Car& car, const std::vector<double>& rack_mm, double travel_mm) {
    std::vector<double> block(steer_count * rack_mm.size());
    steering(car, rack_mm, std::vector<double>(rack_mm.size(), travel_mm), block.data());
    return block;
}

}  // namespace

TEST_CASE("steer is the change of toe from rack centred, + = to the left") {
    const Car car = demo();
    const std::vector<double> rack_mm = {-20.0, 0.0, 20.0};
    const std::vector<double> block = block_of(car, rack_mm, 5.0);
    const auto row = [&](Steer s, std::size_t i) { return block[index(s) * rack_mm.size() + i]; };
    for (std::size_t i = 0; i < rack_mm.size(); ++i) {
        const auto toe = [&](CornerId id, double rack) {
            Outputs<double> out{};
            alignment(car[id], std::array{5.0}, std::array{rack}, out.data());
            return out[index(Output::toe)];
        };
        CHECK_NEAR(row(Steer::left, i), toe(CornerId::front_left, 0.0) - toe(CornerId::front_left, rack_mm[i]), 1e-10);
        CHECK_NEAR(row(Steer::right, i), toe(CornerId::front_right, rack_mm[i]) - toe(CornerId::front_right, 0.0),
                   1e-10);
        CHECK_NEAR(row(Steer::ackermann_error, i), row(Steer::outer, i) - row(Steer::ideal_outer, i), 1e-12);
    }
    for (std::size_t s = 0; s < steer_count; ++s) CHECK(block[s * rack_mm.size() + 1] == 0.0);
    CHECK(row(Steer::left, 0) * row(Steer::left, 2) < 0.0);
    CHECK(row(Steer::inner, 0) > 1.0);
}

TEST_CASE("a mirrored car steers to the right as it steers to the left") {
    const Car car = demo();
    const std::vector<double> left = block_of(car, {14.0}, 0.0), right = block_of(car, {-14.0}, 0.0);
    CHECK_NEAR(left[index(Steer::left)], -right[index(Steer::right)], 1e-10);
    for (const Steer s : {Steer::inner, Steer::outer, Steer::ideal_outer, Steer::ackermann_error})
        CHECK_NEAR(left[index(s)], right[index(s)], 1e-10);
    CHECK((left[index(Steer::left)] > 0.0) == (left[index(Steer::right)] > 0.0));
}

TEST_CASE("inner is the wheel on the side that both are steered to, and the rule is met by the ideal") {
    const Car car = demo();
    const WheelPlan plan = wheel_plan(car);
    CHECK_NEAR(plan.wheelbase_mm, 2345.0, 5.0);
    CHECK_NEAR(plan.front_track_mm, 1280.0, 30.0);
    for (const double rack : {-25.0, -3.0, 8.0, 30.0}) {
        const std::vector<double> s = block_of(car, {rack}, 0.0);
        const bool to_left = s[index(Steer::left)] > 0.0;
        CHECK(s[index(Steer::inner)] == std::fabs(s[index(to_left ? Steer::left : Steer::right)]));
        CHECK(s[index(Steer::outer)] == std::fabs(s[index(to_left ? Steer::right : Steer::left)]));
        const double cot_outer = 1.0 / std::tan(s[index(Steer::ideal_outer)] * rad_per_deg);
        const double cot_inner = 1.0 / std::tan(s[index(Steer::inner)] * rad_per_deg);
        CHECK_NEAR(cot_outer - cot_inner, plan.front_track_mm / plan.wheelbase_mm, 1e-10);
    }
}
