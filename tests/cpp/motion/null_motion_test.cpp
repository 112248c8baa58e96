#include "shimwise/motion/null_motion.hpp"

#include <array>
#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "motion/differences.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("velocities are the differences of poses along the lower wishbone's angle") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const Setup s = turned(kind, 1);
        const Linkage<double> l = linked(s);  // reads the geometry of `s`
        const Vec3<double> up = tilted(kind.left).z;
        const auto at = [&l](double angle) { return pose(l, std::tan(0.5 * angle)); };
        const Pose<double> p = at(0.03);
        const Motion<double> m = null_motion(l, p);
        const auto rate = by_differences(2e-4, [&](double more) {
            const Pose<double> now = at(0.03 + more);
            return std::array{now.wheel_centre.x, now.wheel_centre.y, now.wheel_centre.z, strut(l, now).spring_length};
        });
        const Vec3<double> by_pose = {rate[0], rate[1], rate[2]};
        CHECK(length(velocity(p, m, p.wheel_centre) - by_pose) <= 1e-7);
        CHECK_NEAR(rise(p, m, p.wheel_centre), by_pose.z, 1e-7);
        CHECK_NEAR(climb(p, m, p.wheel_centre, up), dot(by_pose, up), 1e-7);
        CHECK_NEAR(spring_rate(l, p, strut(l, p), m), rate[3], 1e-7);
    }
}
