#include "shimwise/workshop/measure/settled.hpp"

#include <cmath>
#include <random>

#include "catch.hpp"
#include "size.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

Settled of(const Morning& m, Settles what) {
    for (const Settled& one : settled(m.readings, m.car))
        if (one.what == what) return one;
    FAIL("was not read in sets");
    return {};
}

/// Scales that show what a car of this warp shows, in so many sets.
void weigh(Morning& m, std::mt19937& random, int sets, double warp_kg) {
    std::normal_distribution<double> normal;
    const Scale& scale = m.car.instruments.scale;
    for (auto& [reading, all] : m.readings.anew) all.clear();
    for (int set = 0; set < sets; ++set) {
        const double warp = warp_kg * normal(random);
        for (std::size_t c = 0; c < corner_count; ++c) {
            const double shown = *m.readings.corners[c].scale_kg + (c == 0 || c == 3 ? warp : -warp) +
                                 scale.repeatability_kg * normal(random);
            m.readings.anew[std::string(corner_names[c]) + ".scale"].push_back(
                {std::round(shown / scale.resolution_kg) * scale.resolution_kg});
        }
    }
}

}  // namespace

TEST_CASE("a sheet that was read once says nothing of the car's settling, and the file's counts") {
    const Morning m = wren_morning();
    CHECK(settled(m.readings, m.car).empty());
    CHECK(settling(m.readings, m.car).warp_kg == m.car.settling.warp_kg);
}

TEST_CASE("scatter between sets is that of toe, camber, heights and of the diagonal, and of nothing else") {
    Morning m = wren_morning();
    m.car.instruments = {};
    m.car.settling = {};
    auto& anew = m.readings.anew;
    const double span = m.car[CornerId::front_left].wheel.flag_span_mm;
    // Both flags alike: the wheel moved sideways, its toe did not.
    anew["front_left.flags.front"] = {{40.0}, {41.0}, {42.0}};
    anew["front_left.flags.rear"] = {{40.0}, {41.0}, {41.0}};
    CHECK_NEAR(of(m, Settles::toe).between, std::pow(deg_per_rad / span, 2) / 3.0, 1e-12);
    CHECK(of(m, Settles::toe).degrees == 2);
    // A list is its mean, a set without the reading is none.
    anew["rear_left.camber.facing"] = {{-1.0, -1.2}, {}, {-1.3}, {-1.1}};
    CHECK_NEAR(of(m, Settles::camber).between, 0.02 * 2.0 / 3.0, 1e-12);
    CHECK(of(m, Settles::camber).sets == 3);
    // The gauge's zero cancels both ways round.
    anew["rear_left.camber.facing"] = {{-1.0}, {-0.9}, {-0.8}};
    anew["rear_left.camber.turned"] = {{1.0}, {1.1}, {1.2}};
    CHECK_NEAR(of(m, Settles::camber).between, 0.0, 1e-15);
    anew["ride_height.front_left"] = {{30.0}, {31.0}};
    anew["ride_height.rear_left"] = {{40.0}, {42.0}};
    CHECK_NEAR(of(m, Settles::ride_height).between, (0.5 + 2.0) / 2.0, 1e-12);
    // More fuel on one axle is no warp.
    anew["front_left.scale"] = {{100.0}, {102.0}};
    anew["front_right.scale"] = {{100.0}, {102.0}};
    anew["rear_left.scale"] = {{100.0}, {100.0}};
    anew["rear_right.scale"] = {{100.0}, {100.0}};
    CHECK_NEAR(of(m, Settles::warp).between, 0.0, 1e-15);
    anew["rear_right.scale"] = {{100.0}, {104.0}};
    CHECK_NEAR(of(m, Settles::warp).between, 0.5, 1e-12);
}

TEST_CASE("what counts is both by their weight, of two sets never less than the file's") {
    Morning m = wren_morning();
    m.car.instruments.scale.resolution_kg = m.car.instruments.scale.repeatability_kg = 0.0;
    m.car.settling.warp_kg = 0.2;
    const auto sets = [&m](const std::vector<double>& warp_kg) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            auto& all = m.readings.anew[std::string(corner_names[c]) + ".scale"];
            all.clear();
            for (const double kg : warp_kg) all.push_back({100.0 + (c == 0 || c == 3 ? kg : -kg)});
        }
    };
    sets({-0.1, 0.1});
    CHECK(settling(m.readings, m.car).warp_kg == 0.2);
    sets({-1.0, 1.0});  // far apart: a car that is taken for steadier than it is passes on paper only
    CHECK_NEAR(settling(m.readings, m.car).warp_kg, std::sqrt((4.0 * 0.04 + 2.0) / 5.0), 1e-12);
    sets({-1.0, 0.0, 1.0});
    CHECK_NEAR(settling(m.readings, m.car).warp_kg, std::sqrt((4.0 * 0.04 + 2.0 * 1.0) / 6.0), 1e-12);
    m.car.settling.warp_kg = 0.0;
    CHECK_NEAR(settling(m.readings, m.car).warp_kg, 1.0, 1e-12);
    m.car.settling.warp_kg = 0.2;
    sets({0.0, 0.0, 0.0});
    CHECK_NEAR(settling(m.readings, m.car).warp_kg, 0.2 * std::sqrt(4.0 / 6.0), 1e-12);
    m.car.instruments.scale.repeatability_kg = 1.0;  // explains more than was seen: none is taken for less than none
    CHECK_NEAR(settling(m.readings, m.car).warp_kg, 0.2 * std::sqrt(4.0 / 6.0), 1e-12);
}

TEST_CASE("simulated sets: what was seen is the true scatter in the mean, and the mean of sets is as sure as it says") {
    Morning m = wren_morning();
    std::mt19937 random(5);
    const int sheets = test_size("sheets read anew", 2000, 20000);
    for (const double truth_kg : {0.2, 0.5, 1.0}) {
        m.car.settling.warp_kg = truth_kg;
        double seen = 0.0, squares = 0.0, claimed = 0.0;
        constexpr int sets = 4;
        for (int sheet = 0; sheet < sheets; ++sheet) {
            weigh(m, random, sets, truth_kg);
            const Settled warp = of(m, Settles::warp);
            seen += warp.between - warp.by_instruments;
            double mean = 0.0;
            for (std::size_t c = 0; c < corner_count; ++c)
                for (const auto& set : m.readings.anew[std::string(corner_names[c]) + ".scale"])
                    mean += (c == 0 || c == 3 ? 0.25 : -0.25) * (set[0] - *m.readings.corners[c].scale_kg) / sets;
            squares += mean * mean;
            claimed += warp.counts * warp.counts / sets + warp.by_instruments / sets;
        }
        INFO("true scatter " << truth_kg << " kg");
        // Of a variance with three degrees of freedom: sqrt(2/3) of itself, over so many sheets; five of them.
        const double scatter = 5.0 * (truth_kg * truth_kg + 0.01) * std::sqrt(2.0 / 3.0 / sheets);
        CHECK_NEAR(seen / sheets, truth_kg * truth_kg, scatter);
        CHECK_NEAR(std::sqrt(claimed / squares), 1.0, 0.08);
    }
}
