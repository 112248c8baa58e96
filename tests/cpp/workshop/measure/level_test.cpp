#include "shimwise/workshop/measure/level.hpp"

#include <cmath>
#include <random>

#include "catch.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr auto fl = CornerId::front_left, fr = CornerId::front_right, rl = CornerId::rear_left,
               rr = CornerId::rear_right;

Level level_on(const std::array<double, 4>& pads_mm) {
    Morning m = wren_morning();
    m.readings.pad_height_mm = pads_mm;
    return level(m.measured(), m.car);
}

/// Heights of pads on a plane where the wheels stand.
std::array<double, 4> on_plane(double fore_aft, double across) {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    std::array<double, 4> pads{};
    const Contacts contacts = contacts_on(measured.ground, m.car);
    for (std::size_t c = 0; c < 4; ++c)
        pads[c] = fore_aft * dot(contacts[c], measured.ground.frame.x) +
                  across * dot(contacts[c], measured.ground.frame.y) + 7.0;
    return pads;
}

}  // namespace

TEST_CASE("pads on a plane have its tilt and no twist") {
    const Level found = level_on(on_plane(0.002, -0.001));
    CHECK_NEAR(found.fore_aft_mm_per_m.value, 2.0, 1e-9);
    CHECK_NEAR(found.across_mm_per_m.value, -1.0, 1e-9);
    CHECK_NEAR(found.twist_mm.value, 0.0, 1e-11);
    for (const double off : found.off_plane_mm) CHECK_NEAR(off, 0.0, 1e-11);
    CHECK_NEAR(found.pads_mm[0] + found.pads_mm[1] + found.pads_mm[2] + found.pads_mm[3], 0.0, 1e-12);
}

TEST_CASE("a pad alone tilts and twists: what is left on it is a quarter on a rectangle") {
    const Level found = level_on({1.0, 0.0, 0.0, 0.0});
    CHECK_NEAR(found.twist_mm.value, 1.0, 0.02);  // the demo car's tracks are not equal
    for (std::size_t c = 0; c < 4; ++c) CHECK_NEAR(std::abs(found.off_plane_mm[c]), 0.25, 0.01);
    CHECK(found.fore_aft_mm_per_m.value > 0.0);
    CHECK(found.across_mm_per_m.value > 0.0);
}

TEST_CASE("what the pads may be off: independent steps beside independent heights") {
    Morning m = wren_morning();
    const double u = std::hypot(m.car.instruments.pad_level.resolution_mm / std::sqrt(12.0),
                                m.car.instruments.pad_level.repeatability_mm);
    const Level by_heights = level(m.measured(), m.car);
    CHECK_NEAR(by_heights.twist_mm.u, u * by_heights.by_pads.row(2).norm(), 1e-15);
    CHECK_NEAR(by_heights.twist_mm.u, 2.0 * u, 0.01 * u);
    m.readings.pad_steps = {{fl, fr, 0.1}, {rl, rr, 0.1}, {fl, rl, -0.1}};
    const Level by_steps = level(m.measured(), m.car);
    // Twist is the left hand step less the right hand one; the third step is in neither.
    CHECK_NEAR(by_steps.twist_mm.u, std::sqrt(2.0) * u, 0.02 * u);
    CHECK(by_steps.closures.empty());
    m.readings.pad_steps.push_back({rr, fr, 0.15});
    const Level closed = level(m.measured(), m.car);
    REQUIRE(closed.closures.size() == 1);
    CHECK_NEAR(std::abs(closed.closures[0].off_mm.value), 0.05, 1e-12);
    CHECK_NEAR(closed.closures[0].off_mm.u, 2.0 * u, 1e-15);
}

TEST_CASE("uncertainty of tilt and twist against draws") {
    const Morning m = wren_morning();
    const Level found = level(m.measured(), m.car);
    const PadLevel& with = m.car.instruments.pad_level;
    std::mt19937_64 random(11);
    std::uniform_real_distribution<double> digit(-0.5, 0.5);
    std::normal_distribution<double> normal;
    constexpr int draws = 20'000;
    Eigen::Matrix3d sum = Eigen::Matrix3d::Zero();
    for (int d = 0; d < draws; ++d) {
        Eigen::Vector4d off;
        for (double& one : off) one = with.resolution_mm * digit(random) + with.repeatability_mm * normal(random);
        const Eigen::Vector3d moved = found.by_pads * off;
        sum += moved * moved.transpose();
    }
    const Eigen::Vector3d u = found.covariance.diagonal().cwiseSqrt();
    CHECK_NEAR((u.asDiagonal().inverse() * (sum / draws - found.covariance) * u.asDiagonal().inverse()).norm(), 0.0,
               5.0 * 3.0 / std::sqrt(draws));
}

TEST_CASE("pads by steps stand for heights in all that follows, each step an input") {
    Morning heights = wren_morning();
    Morning steps = heights;
    heights.readings.pad_height_mm = {0.3, -0.2, 0.4, -0.5};
    steps.readings.pad_steps = {{fl, fr, -0.5}, {fr, rr, -0.3}, {rr, rl, 0.9}};
    steps.readings.pad_height_mm = heights.readings.pad_height_mm;
    const Measured one = heights.measured(), other = steps.measured();
    CHECK_NEAR((one.values.value - other.values.value).norm(), 0.0, 1e-12);
    std::vector<std::string> keys;
    for (const InputQuantity& input : other.inputs)
        if (input.kind == InputKind::pad) {
            keys.push_back(input.key);
            CHECK(input.anew.standard() == 0.0);  // the datum stays
        }
    CHECK(keys == std::vector<std::string>{"pad.front_left.front_right", "pad.front_right.rear_right",
                                           "pad.rear_right.rear_left"});
}

TEST_CASE("pads that were not read are refused with a sentence") {
    Morning m = wren_morning();
    m.readings.pad_height_mm.reset();
    CHECK_THROWS_WITH(
        level(m.measured(), m.car),
        Catch::Matchers::EndsWith("pads: were not read: pads.height_mm or pads.steps_mm says how the place lies"));
}
