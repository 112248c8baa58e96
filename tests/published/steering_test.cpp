// Ackermann's rule, DERIVED: cot(outer) - cot(inner) = track/wheelbase, recomputed with the tangents' reciprocals; no
// published table.
#include "shimwise/motion/steering.hpp"

#include <cmath>

#include "catch.hpp"
#include "shimwise/units.hpp"

using namespace shimwise;

TEST_CASE("outer wheel by Ackermann's rule, track half the wheelbase", "[published]") {
    const double ratio = 0.5;
    const std::array<std::array<double, 2>, 3> cases = {
        {{10.0, 9.204256078556}, {20.0, 17.115238008653}, {30.0, 24.133261210456}}};
    for (const auto& [inner, outer] : cases)
        CHECK_NEAR(ideal_outer_rad(inner * rad_per_deg, ratio) * deg_per_rad, outer, 5e-13);
    for (double inner = 0.5; inner < 90.0; inner += 7.3) {
        const double outer = ideal_outer_rad(inner * rad_per_deg, ratio);
        CHECK_NEAR(1.0 / std::tan(outer) - 1.0 / std::tan(inner * rad_per_deg), ratio, 1e-12);
        CHECK(ideal_outer_rad(-inner * rad_per_deg, ratio) == -outer);
        CHECK_NEAR(ideal_outer_rad(inner * rad_per_deg, 0.0), inner * rad_per_deg, 1e-15);
    }
    CHECK(ideal_outer_rad(0.0, ratio) == 0.0);
}
