// The benchmark's solver of one sensitivity.
#include "bench/sensitivity.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/held_range.hpp"
#include "shimwise/error.hpp"

using namespace shimwise;
using namespace corners;
using namespace bench;

TEST_CASE("one adjuster's sensitivity over a sweep is the effect table's") {
    double worst = 0.0;
    for (const Kind& kind : kinds())
        for (const Held held : holds()) {
            INFO(kind.name() << ", " << held_names[index(held)]);
            const HeldRange c(kind, 2, held);
            for (std::size_t a = 0; a < c.s.amounts_mm.size(); ++a) {
                const SensitivitySweep one(c.s, a, c.hold, c.low, c.high, c.frame);
                for (const double value : c.values(7)) {
                    const Sensitivity s = one(value);
                    const Rates r = rates(c.s, c.hold, value, c.frame);
                    const double off = std::max({std::fabs(s.toe_deg - r.values[index(Output::toe)]),
                                                 std::fabs(s.camber_deg - r.values[index(Output::camber)]),
                                                 std::fabs(s.toe_deg_per_mm - r.per_mm[a][index(Output::toe)]),
                                                 std::fabs(s.camber_deg_per_mm - r.per_mm[a][index(Output::camber)])});
                    CHECK(off <= 1e-10);
                    worst = std::max(worst, off);
                    for (const Sensitivity& other :
                         {one.from_drawn(value), sensitivity(c.s, a, c.hold, value, s.half_tan + 1e-3, c.frame)}) {
                        CHECK_NEAR(other.half_tan, s.half_tan, 1e-12);
                        CHECK_NEAR(other.toe_deg, s.toe_deg, 1e-10);
                        CHECK_NEAR(other.camber_deg, s.camber_deg, 1e-10);
                        CHECK_NEAR(other.toe_deg_per_mm, s.toe_deg_per_mm, 1e-10);
                        CHECK_NEAR(other.camber_deg_per_mm, s.camber_deg_per_mm, 1e-10);
                    }
                }
                CHECK_THROWS_AS(one.from_drawn(c.high + 1e4), OutOfReach);
                CHECK_THROWS_AS(sensitivity(c.s, a, c.hold, c.low - 1e4), OutOfReach);
            }
        }
    std::cout << "sensitivities over a sweep: within " << worst << " of the effect table\n";
}
