#include "shimwise/motion/parts.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("parts are affine in the adjusters' amounts and the rack's travel") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const Setup s = turned(kind, 1);
        const auto at = [&](double share) {
            Setup now = s;
            for (double& amount : now.amounts_mm) amount *= share;
            now.rack_mm *= share;
            return now.parts();
        };
        const Parts<double> none = at(0.0), once = at(1.0), twice = at(2.0);
        double most = 0.0;
        for (std::size_t p = 0; p < point_count; ++p) {
            CHECK(length(none.points[p] - s.geometry.drawn.points[p]) == 0.0);
            CHECK_NEAR(length(twice.points[p] - once.points[p] * 2.0 + none.points[p]), 0.0, 1e-12);
            most = std::max(most, length(once.points[p] - none.points[p]));
        }
        for (std::size_t l = 0; l < length_count; ++l) {
            CHECK(none.lengths[l] == s.geometry.drawn.lengths[l]);
            CHECK_NEAR(twice.lengths[l] - 2.0 * once.lengths[l] + none.lengths[l], 0.0, 1e-12);
        }
        CHECK(most > 5.0);  // the rack's 9 mm
    }
}
