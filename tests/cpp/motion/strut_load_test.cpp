#include "shimwise/motion/strut_load.hpp"

#include "catch.hpp"
#include "motion/sprung_corner.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("spring, helper and bump rubber: their load at a length") {
    Corner c = sprung({}, 0);
    const double drawn = length(c.at(Point::rocker_spring) - c.at(Point::spring_chassis));
    const auto load = [&](double shorter, double platform = 0.0) { return strut_load(c, platform, drawn - shorter); };
    CHECK_NEAR(load(0.0).spring_N, 1100.0, 1e-9);
    CHECK_NEAR(load(0.0, 2.0).spring_N, load(2.0).spring_N, 1e-9);  // platform toward the spring: as much shorter
    // 1100 N is below the helper's 1200 N at solid: in series 90 * 40 / 130 N/mm, then 90.
    const double soft = 90.0 * 40.0 / 130.0;
    CHECK_NEAR(load(0.0).spring_N_per_mm, soft, 1e-12);
    CHECK_NEAR(load(100.0 / soft + 1.0).spring_N, 1200.0 + 90.0, 1e-9);
    CHECK_NEAR(load(100.0 / soft + 1.0).spring_N_per_mm, 90.0, 1e-12);
    CHECK(load(-1100.0 / soft - 0.1).spring_N == 0.0);
    CHECK(load(-1100.0 / soft - 0.1).spring_N_per_mm == 0.0);
    // The rubber touches 3 mm in, goes 100 N in 2 mm, then 1000 N in 6 mm, and on.
    CHECK(load(2.9).rubber_N == 0.0);
    CHECK_NEAR(load(4.0).rubber_N, 50.0, 1e-9);
    CHECK_NEAR(load(4.0, 5.0).rubber_N, 50.0, 1e-9);  // the rubber does not move with the platform
    CHECK_NEAR(load(8.0).rubber_N, 600.0, 1e-9);
    CHECK_NEAR(load(12.0).rubber_N, 1100.0 + 1000.0 / 6.0, 1e-9);
    c.spring.load_at_drawn_N.reset();
    c.spring.free_length_mm = drawn + 10.0;
    c.spring.seat_gap_mm = 5.0;
    CHECK_NEAR(load(0.0).spring_N, 15.0 * soft, 1e-9);
    c.spring.rests_as_drawn = true;
    CHECK_FALSE(load_is_given(c));
}
