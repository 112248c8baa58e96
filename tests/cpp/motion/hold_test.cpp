#include "shimwise/motion/hold.hpp"

#include <array>
#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "motion/differences.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("a held value grows along the lower wishbone's angle by its slope") {
    for (const Kind& kind : kinds())
        for (const Held held : holds())
            for (const Hold& hold : {Hold{held}, Hold{held, tilted(kind.left).z}}) {
                INFO(kind.name() << ", " << held_names[index(held)] << " held");
                const Setup s = turned(kind, 1);
                const Linkage<double> l = linked(s);  // reads the geometry of `s`
                const auto at = [&](double angle) {
                    const Pose<double> p = pose(l, std::tan(0.5 * angle));
                    return std::array{held_alone(l, p, strut(l, p), hold)};
                };
                const HeldValue<double> value = held_value(l, pose(l, std::tan(0.015)), hold);
                CHECK_NEAR(value.value, at(0.03)[0], 1e-12);
                CHECK_NEAR(value.slope, by_differences(2e-4, [&](double more) { return at(0.03 + more); })[0], 1e-7);
                CHECK(value.room > 0.0);
            }
}
