#include "shimwise/motion/starts.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/held_range.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("a table of starts is within 1e-10 of the half tangent") {
    double worst = 0.0;
    for (const Kind& kind : kinds())
        for (const Held held : holds()) {
            INFO(kind.name() << ", " << held_names[index(held)]);
            const HeldRange c(kind, 1, held);
            const Linkage<double> l = linked(c.s);
            const Starts starts(l, c.hold, c.low, c.high);
            REQUIRE(starts.usable());
            for (const double value : c.values(1009)) {
                const double off = std::fabs(starts(value) - solve(l, c.hold, value).half_tan);
                CHECK(off <= 1e-10);
                worst = std::max(worst, off);
            }
            CHECK_FALSE(Starts(l, c.hold, c.low, c.high + 2000.0).usable());
        }
    std::cout << "tables of starts: within " << worst << " of the half tangent\n";
}
