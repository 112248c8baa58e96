#include "shimwise/math/vec3.hpp"

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("sums, multiples and products of vectors keep the laws of space") {
    const Vec3<double> a = {1.0, -2.0, 3.0}, b = {4.0, 0.5, -1.0};
    const Vec3<double> back = a + b - b, twice = a * 2.0, none = a + (-a);
    CHECK_NEAR(squared(back - a), 0.0, 0.0);
    CHECK_NEAR(squared(twice), 4.0 * squared(a), 0.0);
    CHECK_NEAR(squared(none), 0.0, 0.0);
    CHECK_NEAR(dot(a, b), dot(b, a), 0.0);
    const Vec3<double> across = cross(a, b);
    CHECK_NEAR(dot(across, a), 0.0, 1e-14);
    CHECK_NEAR(dot(across, b), 0.0, 1e-14);
    CHECK_NEAR(squared(across + cross(b, a)), 0.0, 0.0);
    // Lagrange's identity
    CHECK_NEAR(squared(across) + dot(a, b) * dot(a, b), squared(a) * squared(b), 1e-12);
    // right-handed
    CHECK_NEAR(squared(cross(Vec3<double>{1.0, 0.0, 0.0}, Vec3<double>{0.0, 1.0, 0.0}) - Vec3<double>{0.0, 0.0, 1.0}),
               0.0, 0.0);
}
