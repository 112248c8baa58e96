#include "shimwise/motion/linkage.hpp"

#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("every point of a wishbone's circle is a leg away from either pickup") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const Setup s = turned(kind, 1);
        const Parts<double> p = s.parts();
        const Linkage<double> l = linkage(s.geometry, p);
        const auto check = [&](const Vec3<double>& outer, Point front, Point rear, Length front_leg, Length rear_leg) {
            CHECK_NEAR(length(outer - p.at(front)), p.at(front_leg), 1e-10);
            CHECK_NEAR(length(outer - p.at(rear)), p.at(rear_leg), 1e-10);
        };
        for (double angle = -3.0; angle < 3.0; angle += 0.5) {
            check(l.lower_centre + l.lower_out * std::cos(angle) + l.lower_up * std::sin(angle),
                  Point::lower_wishbone_front, Point::lower_wishbone_rear, Length::lower_wishbone_front_leg,
                  Length::lower_wishbone_rear_leg);
            const Vec3<double> out = unit(cross(l.upper.axis, Vec3<double>{0.3, 0.5, 1.0}));
            const Vec3<double> way = out * std::cos(angle) + cross(l.upper.axis, out) * std::sin(angle);
            check(l.upper.centre + way * std::sqrt(l.upper.radius2), Point::upper_wishbone_front,
                  Point::upper_wishbone_rear, Length::upper_wishbone_front_leg, Length::upper_wishbone_rear_leg);
        }
    }
}
