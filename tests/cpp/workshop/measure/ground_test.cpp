#include "shimwise/workshop/measure/ground.hpp"

#include <cmath>

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("heights over a leaning plane give that plane back") {
    const double root = std::sqrt(1.0 + 0.02 * 0.02 + 0.01 * 0.01);
    const Vec3<double> normal = {-0.02 / root, 0.01 / root, 1.0 / root};
    const double under_mm = 31.0;
    const std::vector<Vec3<double>> points = {
        {-180.0, 310.0, 0.0}, {-180.0, -310.0, 2.0}, {-2350.0, 330.0, 0.0}, {-2350.0, -330.0, -1.0}};
    std::vector<double> heights;
    for (const Vec3<double>& p : points) heights.push_back(dot(normal, p) + under_mm);
    const Ground ground = ground_through(points, heights);
    CHECK_NEAR(std::sqrt(squared(ground.frame.z - normal)), 0.0, 1e-12);
    CHECK_NEAR(ground.under_origin_mm, under_mm, 1e-9);
    for (std::size_t i = 0; i < points.size(); ++i) CHECK_NEAR(ground.height_mm(points[i]), heights[i], 1e-9);
    CHECK_NEAR(dot(ground.frame.x, ground.frame.z), 0.0, 1e-15);
    CHECK_NEAR(squared(cross(ground.frame.z, ground.frame.x) - ground.frame.y), 0.0, 1e-28);
}

TEST_CASE("up along gravity leans against the pads' rise") {
    Plane pads;
    pads.a = 0.003;
    pads.b = -0.001;
    const Vec3<double> plumb = plumb_of(pads);
    CHECK_NEAR(squared(plumb), 1.0, 1e-15);
    // Along the plane, height along plumb grows by a and b per mm.
    CHECK_NEAR(plumb.x, 0.003, 1e-15);
    CHECK_NEAR(plumb.y, -0.001, 1e-15);
}
