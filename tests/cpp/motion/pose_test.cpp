#include "shimwise/motion/pose.hpp"

#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("with nothing turned, a corner stands as drawn at half tangent 0") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const Corner c = corner(kind, 1);
        const Geometry g = geometry(c);
        const std::vector<double> none(c.adjusters.size());
        const Linkage<double> l = linkage(g, parts(g, none.data(), 0.0));
        const Pose<double> p = pose(l, 0.0);
        CHECK(length(p.lower_outer - c.at(Point::lower_wishbone_outer)) <= 1e-10);
        CHECK(length(l.upper.centre + p.upper_radius - c.at(Point::upper_wishbone_outer)) <= 1e-10);
        CHECK(length(p.wheel_centre - c.at(Point::wheel_centre)) <= 1e-10);
        CHECK(length(p.wheel_axis - c.wheel_axis) <= 1e-12);
        CHECK(p.upper_room > 0.0);
        CHECK(p.track_rod_room > 0.0);
    }
}

TEST_CASE("the half tangent is that of the lower wishbone's angle from the drawn position") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const Setup s = turned(kind, 1);
        const Linkage<double> l = linked(s);  // reads the geometry of `s`
        const Vec3<double> zero = pose(l, 0.0).lower_radius;
        for (const double angle : {-0.3, -0.01, 0.02, 0.25}) {
            const Vec3<double> now = pose(l, std::tan(0.5 * angle)).lower_radius;
            CHECK_NEAR(std::atan2(dot(l.lower_axis, cross(zero, now)), dot(zero, now)), angle, 1e-14);
        }
    }
}
