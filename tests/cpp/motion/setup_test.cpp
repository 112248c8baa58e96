#include "shimwise/motion/setup.hpp"

#include <stdexcept>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("a corner made by hand with more adjusters than there is room for is refused") {
    Corner c = corner({});
    for (std::size_t i = 0; i < max_adjusters; ++i) add(c, "one more", {{Length::track_rod, {1.0, 0.0, 0.0}}});
    CHECK_THROWS_AS(setup(c), std::invalid_argument);
}
