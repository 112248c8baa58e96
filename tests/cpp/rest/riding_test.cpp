#include "shimwise/rest/riding.hpp"

#include <cmath>

#include "catch.hpp"
#include "rest/cars.hpp"

using namespace shimwise;

TEST_CASE("a drop link keeps its length as its bar's arm turns, and both stand as drawn at the start") {
    int bars = 0;
    cars::each([&](const cars::Kind& kind, const RestModel& m, const PadHeights&) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Riders& riders = m.riders[c];
            if (!riders.has_bar) continue;
            ++bars;
            const BarArm& bar = riders.bar;
            const Parts<double> parts = m.setups[c].parts();
            const Linkage<double> l = linkage(m.setups[c].geometry, parts);
            for (const double half_tan : {0.0, -0.02, 0.02}) {
                const Pose<double> p = pose(l, half_tan);
                const Riding<double> r = riding(riders, parts, l, p, strut(l, p));
                const double link_mm = bar.link_mm + parts.at(Length::drop_link);
                CHECK_NEAR(corners::length(bar.circle.centre + r.bar_arm - r.drop_link), link_mm, 1e-9);
                CHECK_NEAR(corners::length(r.bar_arm), corners::length(bar.drawn), 1e-9);
                const double turned = std::atan2(dot(bar.across, r.bar_arm), dot(bar.drawn, r.bar_arm));
                CHECK_NEAR(r.bar_rad, turned, 1e-12);
                CHECK(r.bar_room > 0.0);
                if (half_tan == 0.0 && !kind.set) CHECK_NEAR(r.bar_rad, 0.0, 1e-12);
            }
        }
    });
    CHECK(bars >= 20);
}
