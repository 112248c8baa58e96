#include "shimwise/motion/strut.hpp"

#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "shimwise/motion/position.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("with nothing turned, strut and drop link stand as drawn, and elsewhere the pushrod keeps its length") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        Corner c = corner(kind, 1);
        if (!kind.rocker) {  // it rides with the strut
            c.drop_link_outer_on = kind.strut_on;
            c.points[index(Point::drop_link_outer)] = c.at(Point::spring_outer) + Vec3<double>{5.0, -20.0, 8.0};
        }
        Setup s = setup(c);
        const auto at = [&s](double angle) {
            const Linkage<double> l = linked(s);
            const Pose<double> p = pose(l, std::tan(0.5 * angle));
            return joints(s.parts(), l, p, strut(l, p));
        };
        for (double& amount : s.amounts_mm) amount = 0.0;
        const auto drawn = at(0.0);
        for (std::size_t p = 0; p < point_count; ++p)
            if (c.points[p]) CHECK(length(drawn[p] - *c.points[p]) <= 1e-10);
        for (const double angle : {-0.05, 0.04}) {
            const auto now = at(angle);
            const auto between = [&](const auto& places, Point a, Point b) {
                return length(places[index(a)] - places[index(b)]);
            };
            const auto kept = [&](Point a, Point b) { CHECK_NEAR(between(now, a, b), between(drawn, a, b), 1e-10); };
            if (kind.rocker) {
                kept(Point::pushrod_inner, Point::pushrod_outer);
                kept(Point::rocker_drop_link, Point::rocker_spring);
                kept(Point::rocker_drop_link, Point::rocker_axis_point);
            } else {
                kept(Point::drop_link_outer, Point::spring_outer);
            }
        }
    }
}
