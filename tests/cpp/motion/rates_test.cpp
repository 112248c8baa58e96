// How the effect table moves with travel, by three witnesses: nested dual numbers, differences of the 6x6's table over
// travel, and second differences of poses solved anew.
#include "shimwise/motion/rates.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "motion/differences.hpp"
#include "shimwise/tolerances.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

struct State {
    Setup setup;
    Hold hold;
    Frame frame;
    double travel_mm;

    /// What is held with the wheel centre `more_mm` higher.
    double value(double more_mm) const { return present_value(setup, hold, travel_mm + more_mm); }
};

std::vector<State> states(int seeds) {
    std::vector<State> all;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds())
            for (const Held held : holds()) {
                const Frame frame = seed % 2 == 1 ? tilted(kind.left) : Frame{};
                all.push_back({turned(kind, seed), {held, frame.z}, frame, Random("slopes", seed).within(15.0)});
            }
    return all;
}

/// The output that this hold keeps: solved to `held_mm` and no better.
bool keeps(const Hold& hold, std::size_t output) {
    return (hold.what == Held::contact && output == index(Output::chassis_height)) ||
           (hold.what == Held::spring && output == index(Output::spring_length));
}

double largest(const std::vector<Outputs<double>>& table, std::size_t output) {
    double most = 0.0;
    for (const auto& row : table) most = std::max(most, std::fabs(row[output]));
    return most;
}

/// By how much a table of numbers differs from the slopes, in shares of the largest slope of that output.
struct Worst {
    double error = 0.0;

    bool take(double by_duals, double by_other, double most, double allowed) {
        const double now = std::fabs(by_duals - by_other) / std::max(most, 1e-6);
        if (!(now <= error)) error = now;
        return now <= allowed;
    }
};

}  // namespace

TEST_CASE("the effect table's slope is the difference of the tables of the 6x6 and of the dual numbers") {
    const int seeds = test_size("slopes of effect tables by tables, corners of each kind", 1, 8);
    Worst by_matrix, by_duals;
    for (const State& s : states(seeds)) {
        const auto slopes = rates_per_travel(s.setup, s.hold, s.value(0.0), s.frame);
        REQUIRE(slopes.size() == s.setup.amounts_mm.size());
        for (std::size_t a = 0; a < slopes.size(); ++a) {
            const auto matrix = by_differences(
                0.2, [&](double more) { return rates_by_matrix(s.setup, s.hold, s.value(more), s.frame)[a]; });
            const auto duals = by_differences(
                0.2, [&](double more) { return rates(s.setup, s.hold, s.value(more), s.frame).per_mm[a]; });
            for (std::size_t i = 0; i < first_order_outputs.size(); ++i) {
                const std::size_t o = index(first_order_outputs[i]);
                INFO(output_list[o].name << " by adjuster " << a);
                CHECK(by_matrix.take(slopes[a][o], matrix[i], largest(slopes, o), 1e-6));
            }
            for (std::size_t o = 0; o < output_count; ++o) {
                INFO(output_list[o].name << " by adjuster " << a);
                CHECK(by_duals.take(slopes[a][o], duals[o], largest(slopes, o), 1e-6));
            }
        }
    }
    std::cout << "slopes by the 6x6: worst " << by_matrix.error << ", by tables of dual numbers " << by_duals.error
              << " of the largest slope\n";
}

TEST_CASE("the effect table's slope is the second difference of poses solved anew") {
    const int seeds = test_size("slopes of effect tables by poses, corners of each kind", 1, 8);
    constexpr double h = 0.25, noise = 1.5 / h * (1.5 / h) * tolerances::held_mm;  // of second differences
    Worst worst;
    for (const State& s : states(seeds)) {
        const auto slopes = rates_per_travel(s.setup, s.hold, s.value(0.0), s.frame);
        for (std::size_t a = 0; a < slopes.size(); ++a) {
            const auto entry = [&](double more_travel) {
                const double value = s.value(more_travel);
                return by_differences(h, [&](double more_mm) {
                    Setup now = s.setup;
                    now.amounts_mm[a] += more_mm;
                    return outputs_at(now, s.hold, value, s.frame);
                });
            };
            const auto differences = by_differences(h, entry);
            for (std::size_t o = 0; o < output_count; ++o) {
                INFO(output_list[o].name << " by adjuster " << a);
                if (keeps(s.hold, o)) {
                    CHECK_NEAR(slopes[a][o], 0.0, 1e-12);
                    CHECK_NEAR(differences[o], 0.0, noise);
                } else {
                    CHECK(worst.take(slopes[a][o], differences[o], largest(slopes, o), 1e-5));
                }
            }
        }
    }
    std::cout << "slopes by second differences of poses: worst " << worst.error << " of the largest slope\n";
}

TEST_CASE("an entry that is zero at every travel has no slope") {
    for (const Kind& kind : kinds()) {
        const Setup s = turned(kind, 1);
        const Hold contact;
        const auto slopes = rates_per_travel(s, contact, present_value(s, contact));
        const std::size_t platform = s.amounts_mm.size() - 1, drop_link = platform - 1;
        for (std::size_t o = 0; o < output_count; ++o) {
            INFO(kind.name() << ", " << output_list[o].name);
            CHECK(slopes[platform][o] == 0.0);
            CHECK(slopes[drop_link][o] == 0.0);
        }
    }
}

TEST_CASE("a thicker shim at the upright means more positive camber, left and right, whatever is held") {
    for (const Kind& kind : kinds())
        for (const Held held : holds())
            for (const char* shim : {"camber shim", "bracket shim"}) {
                INFO(kind.name() << ", " << held_names[index(held)] << ", " << shim);
                const Corner c = corner(kind);
                const Setup s = setup(c);
                const double value = present_value(s, {.what = held});
                const auto a = *c.find(shim);
                CHECK(rates(s, {.what = held}, value).per_mm[a][index(Output::camber)] > 0.1);
                Setup thicker = s;
                thicker.amounts_mm[a] += 1.0;
                CHECK(outputs_at(thicker, {.what = held}, value)[index(Output::camber)] >
                      outputs_at(s, {.what = held}, value)[index(Output::camber)] + 0.1);
            }
}
