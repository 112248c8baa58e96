#include "shimwise/motion/contact.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

namespace {

/// A wheel whose axis leans by an angle; only what `contact` reads is set.
struct LeaningWheel {
    Geometry geometry;
    Linkage<double> linkage;
    Pose<double> pose;

    explicit LeaningWheel(double lean_deg) {
        geometry.wheel_radius_mm = 255.0;
        geometry.half_width_mm = 5.0;
        geometry.offset_mm = 3.0;
        linkage.geometry = &geometry;
        pose.wheel_centre = {10.0, 640.0, 225.0};
        pose.wheel_axis = {0.0, std::cos(lean_deg * rad_per_deg), std::sin(lean_deg * rad_per_deg)};
    }
};

}  // namespace

TEST_CASE("the contact is the lowest point of the disc's lower edge, or its middle within 0.02 deg of upright") {
    for (const double lean : {-6.0, -2.6, -0.0201, 0.0201, 2.6, 20.0}) {
        INFO("lean " << lean << " deg");
        const LeaningWheel w(lean);
        const Vec3<double> at = contact(w.linkage, w.pose, {0.0, 0.0, 1.0});
        // The lowest of both edges, point by point round the rim.
        double lowest = 1e9;
        for (const double edge : {-5.0, 5.0})
            for (int i = 0; i < 36000; ++i) {
                const double a = i * 0.01 * rad_per_deg;
                const Vec3<double> down = cross(w.pose.wheel_axis, Vec3<double>{1.0, 0.0, 0.0});
                const Vec3<double> rim = w.pose.wheel_centre + w.pose.wheel_axis * (3.0 + edge) +
                                         (Vec3<double>{1.0, 0.0, 0.0} * std::cos(a) + down * std::sin(a)) * 255.0;
                lowest = std::min(lowest, rim.z);
            }
        CHECK_NEAR(at.z, lowest, 1e-9);
    }
    for (const double lean : {-0.0199, 0.0, 0.0199}) {
        INFO("lean " << lean << " deg");
        const LeaningWheel w(lean);
        const Vec3<double> at = contact(w.linkage, w.pose, {0.0, 0.0, 1.0});
        CHECK_NEAR(at.y, 640.0 + 3.0 * std::cos(lean * rad_per_deg) + 255.0 * std::sin(lean * rad_per_deg), 1e-9);
        CHECK_NEAR(at.z, 225.0 + 3.0 * std::sin(lean * rad_per_deg) - 255.0 * std::cos(lean * rad_per_deg), 1e-9);
    }
    // Along any `up`: the contact turns with the frame.
    const LeaningWheel w(2.0);
    const Vec3<double> up = unit({0.03, -0.05, 1.0});
    const Vec3<double> at = contact(w.linkage, w.pose, up) - w.pose.wheel_centre;
    const double lean = dot(w.pose.wheel_axis, up);
    CHECK_NEAR(dot(at, w.pose.wheel_axis), 3.0 + (lean > 0.0 ? -5.0 : 5.0), 1e-12);
    CHECK_NEAR(dot(at, up), lean * dot(at, w.pose.wheel_axis) - 255.0 * std::sqrt(1.0 - lean * lean), 1e-9);
}
