#include "shimwise/workshop/choose/predict.hpp"

#include <cmath>

#include "catch.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

/// The morning's car with toe, camber and a height turned at one corner.
Car turned(const Morning& morning) {
    Morning m = morning;
    m.thread(CornerId::front_left, "track rod").now_turns += 0.5;
    m.thread(CornerId::front_left, "pushrod").now_turns -= 1.0;
    return m.car;
}

Morning settled() {
    Morning m = wren_morning();
    m.car = as_read(m.car, m.measured().read);
    return m;
}

}  // namespace

TEST_CASE("where nothing is turned, what is predicted is what was measured") {
    const Morning m = settled();
    const Measured measured = m.measured();
    const WholeCarChange whole = whole_car_change(measured, m.car, m.car);
    CHECK(whole.why_not.empty());
    REQUIRE_FALSE(whole.values.empty());
    for (const CarValue& value : whole.values) CHECK(value.then == value.now);
    for (std::size_t c = 0; c < corner_count; ++c) {
        for (const double change : whole.change[c]) CHECK(change == 0.0);
        const AsMeasured was = as_measured(measured, m.car.corners[c]);
        const Expectation e = expectation(measured, was, m.car.corners[c], whole.change[c]);
        const std::string corner(corner_names[c]);
        REQUIRE((e.toe_deg && e.camber_deg));
        CHECK(*e.toe_deg == measured.value(corner + ".toe").value());
        CHECK(*e.camber_deg == measured.value(corner + ".camber").value());
    }
}

TEST_CASE("there and back: what one way adds the other way takes, at every wheel and of every height and weight") {
    const Morning m = settled();
    const Measured measured = m.measured();
    const Car after = turned(m);
    const WholeCarChange there = whole_car_change(measured, m.car, after);
    const WholeCarChange back = whole_car_change(measured, after, m.car);
    REQUIRE(there.values.size() == back.values.size());
    double moved = 0.0;
    for (std::size_t i = 0; i < there.values.size(); ++i) {
        CHECK_NEAR(there.values[i].then - there.values[i].now, back.values[i].now - back.values[i].then, 1e-9);
        moved += std::fabs(there.values[i].then - there.values[i].now);
    }
    CHECK(moved > 1.0);
    for (std::size_t c = 0; c < corner_count; ++c)
        for (std::size_t o = 0; o < output_count; ++o) CHECK_NEAR(there.change[c][o], -back.change[c][o], 1e-9);
}

TEST_CASE("totals follow toe and camber of their wheels, and scatter by independent misses") {
    Morning m = settled();
    m.readings.front_bar_mm = {906.0, 905.0};
    const Measured measured = m.measured();
    OfCorners change{}, missed{};
    const std::array<double, 4> toe = {0.3, 0.1, -0.2, 0.4}, camber = {0.05, -0.02, 0.03, 0.01};
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto n = static_cast<double>(c + 1);
        change[c][index(Output::toe)] = toe[c];
        change[c][index(Output::camber)] = camber[c];
        missed[c][index(Output::toe)] = n * n * 1e-4;
        missed[c][index(Output::camber)] = n * 1e-5;
    }
    const auto still = expected_totals(measured, {});
    const auto turned = expected_totals(measured, change, missed);
    const std::array<std::string, 5> names = {"total_toe_front", "total_toe_rear", "thrust_angle",
                                              "camber_difference_front", "camber_difference_rear"};
    const std::array<double, 5> by = {0.4, 0.2, -0.3, 0.07, 0.02}, variance = {5e-4, 25e-4, 6.25e-4, 3e-5, 7e-5};
    REQUIRE(still.size() == names.size());
    REQUIRE(turned.size() == names.size());
    for (std::size_t i = 0; i < names.size(); ++i) {
        INFO(names[i]);
        CHECK(key(turned[i].id) == names[i]);
        CHECK(still[i].then_deg == still[i].now_deg);
        CHECK_NEAR(turned[i].then_deg - turned[i].now_deg, by[i], 1e-12);
        CHECK_NEAR(std::pow(turned[i].deviation_deg, 2) - std::pow(still[i].deviation_deg, 2), variance[i], 1e-12);
    }
}

TEST_CASE("what a person must know of a prediction goes with how the car is held") {
    const Morning m = settled();
    WholeCarChange change;
    CHECK(whole_car_words(change, m.car).find("taken as rigid") != std::string::npos);
    Car twisting = m.car;
    twisting.chassis_twist_Nm_per_deg = 3000.0;
    CHECK(whole_car_words(change, twisting).find("twists as the car file says") != std::string::npos);
    change.why_not = "the front left wheel hangs";
    CHECK(whole_car_words(change, m.car).find("the front left wheel hangs. The contacts are held") !=
          std::string::npos);
}
