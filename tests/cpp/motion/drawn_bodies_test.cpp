#include "shimwise/motion/drawn_bodies.hpp"

#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("a point of a body is its origin and its coordinates along axis, radius and the side across both") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const Setup s = turned(kind, 1);
        const Parts<double> p = s.parts();
        const auto check = [](const auto& body, const Vec3<double>& point) {
            const Vec3<double> c = body.coordinates_of(point);
            CHECK_NEAR(length(body.axis), 1.0, 1e-12);
            CHECK_NEAR(dot(body.axis, body.radius), 0.0, 1e-9);
            CHECK(length(body.origin + body.axis * c.x + body.radius * c.y + body.side * c.z - point) <= 1e-10);
        };
        check(detail::drawn_upright(p), p.at(Point::wheel_centre));
        check(detail::drawn_upright(p), p.at(Point::upper_wishbone_outer));
        if (kind.rocker) check(detail::drawn_rocker(s.geometry, s.geometry.drawn, p), p.at(Point::rocker_spring));
    }
}
