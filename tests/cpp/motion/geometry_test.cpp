#include "shimwise/motion/geometry.hpp"

#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("a part built off its drawing moves its point, and the links keep their drawn lengths") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        Corner c = corner(kind, 1);
        const Geometry before = geometry(c);
        CHECK_NEAR(before.drawn.lengths[index(Length::track_rod)],
                   length(c.at(Point::track_rod_outer) - c.at(Point::track_rod_inner)), 1e-12);
        CHECK_NEAR(length(before.drawn.lower_radial), 1.0, 1e-12);
        const Vec3<double> off = {0.3, -0.2, 0.5};
        c.built_off_mm[index(Point::track_rod_outer)] = off;
        const Geometry built = geometry(c);
        for (std::size_t p = 0; p < point_count; ++p)
            CHECK_NEAR(length(built.drawn.points[p] - before.drawn.points[p]),
                       p == index(Point::track_rod_outer) ? length(off) : 0.0, 1e-12);
        CHECK(built.drawn.lengths == before.drawn.lengths);
        CHECK(built.track_rod_side == before.track_rod_side);
    }
}
