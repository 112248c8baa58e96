#include "shimwise/workshop/measure/off_level.hpp"

#include <cmath>

#include "catch.hpp"
#include "shimwise/rest/solve.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

using Pads = std::array<double, 4>;

OffLevel off(Morning m, const Pads& pads_mm) {
    m.readings.pad_height_mm = pads_mm;
    const Measured measured = m.measured();
    return off_level(measured, m.car, level(measured, m.car), pads_mm);
}

}  // namespace

TEST_CASE("what pads are off their plane is what the plane leaves") {
    Morning m = wren_morning();
    for (const Pads& pads : {Pads{1.0, 0.0, 0.0, 0.0}, Pads{0.3, -0.7, 0.2, 1.1}}) {
        m.readings.pad_height_mm = pads;
        const Level found = level(m.measured(), m.car);
        const Pads again = off_plane_mm(found, pads);
        for (std::size_t c = 0; c < 4; ++c) CHECK_NEAR(again[c], found.off_plane_mm[c], 1e-9);
    }
}

TEST_CASE("derivatives and the car at rest agree as the pads come nearer to level") {
    for (const double mm : {1.0, 0.1}) {
        const OffLevel both = off(wren_morning(), {mm, -0.4 * mm, 0.7 * mm, 0.1 * mm});
        REQUIRE(both.why_not.empty());
        for (std::size_t c = 0; c < 4; ++c) {
            CHECK_NEAR(both.tilt.gauge_deg[c], both.tilt_by_rates.gauge_deg[c], 2e-4 * mm * mm);
            CHECK_NEAR(both.twist.gauge_deg[c], both.twist_by_rates.gauge_deg[c], 2e-4 * mm * mm);
            CHECK_NEAR(both.tilt.scale_kg[c], both.tilt_by_rates.scale_kg[c], 0.02 * mm * mm);
            CHECK_NEAR(both.twist.scale_kg[c], both.twist_by_rates.scale_kg[c], 0.02 * mm * mm);
        }
    }
}

TEST_CASE("twist loads a diagonal and tips no gauge, tilt across tips all gauges") {
    const OffLevel twist = off(wren_morning(), {1.0, -1.0, -1.0, 1.0});
    double sum = 0.0;
    for (std::size_t c = 0; c < 4; ++c) {
        CHECK((twist.twist.scale_kg[c] > 0.0) == (c == 0 || c == 3));
        CHECK(std::abs(twist.tilt.gauge_deg[c]) < 1e-2);
        sum += twist.twist.scale_kg[c];
    }
    CHECK_NEAR(sum, 0.0, 1e-6);
    const OffLevel tilt = off(wren_morning(), {6.0, -6.0, 6.0, -6.0});
    for (std::size_t c = 0; c < 4; ++c) {
        // The car leans to the right by about 12 mm over a track of 1.2 m: 0.57 deg.
        CHECK((tilt.tilt.gauge_deg[c] < 0.0) == (c == 1 || c == 3 ? false : true));
        CHECK_NEAR(std::abs(tilt.tilt.gauge_deg[c]), 0.57, 0.1);
    }
}

TEST_CASE("bars and solid struts as they were when the car was read") {
    Morning m = wren_morning();
    const double off_kg = off(m, {1.0, -1.0, -1.0, 1.0}).twist.scale_kg[0];
    m.readings.bars = BarsWere::on;
    CHECK(std::abs(off(m, {1.0, -1.0, -1.0, 1.0}).twist.scale_kg[0]) > std::abs(off_kg) + 0.1);
    m.readings.struts_solid = true;
    const OffLevel solid = off(m, {6.0, -6.0, 6.0, -6.0});
    CHECK(!solid.scales_tell);
    CHECK(solid.tilt.scale_kg[0] == 0.0);
    CHECK_NEAR(std::abs(solid.tilt.gauge_deg[0]), 0.57, 0.1);
    CHECK_NEAR(solid.tilt.gauge_deg[0], solid.tilt_by_rates.gauge_deg[0], 5e-3);
}

TEST_CASE("pads on which the car cannot stand say why") {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    const OffLevel none = off_level(measured, m.car, level(measured, m.car), {400.0, -400.0, -400.0, 400.0});
    CHECK(!none.why_not.empty());
    CHECK(none.twist.scale_kg[0] == 0.0);
}
