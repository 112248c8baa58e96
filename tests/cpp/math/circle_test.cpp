#include "shimwise/math/circle.hpp"

#include <cmath>
#include <random>

#include "catch.hpp"

using namespace shimwise;

namespace {

double length(const Vec3<double>& v) { return std::sqrt(squared(v)); }

/// A circle, a point off it, and a point of the circle: all that `meet` is to find again.
struct Case {
    Circle<double> circle;
    Vec3<double> p, radius;

    explicit Case(unsigned seed) {
        std::mt19937 engine(seed);
        std::uniform_real_distribution<double> place(-300.0, 300.0), angle(0.0, 6.28);
        const auto point = [&] {
            const double x = place(engine), y = place(engine);
            return Vec3<double>{x, y, place(engine)};
        };
        const Vec3<double> axis = point();
        circle = {point(), axis * (1.0 / length(axis)), 0.0};
        p = point();
        const Vec3<double> any = point();
        radius = any - circle.axis * dot(any, circle.axis);
        circle.radius2 = squared(radius);
    }
    double distance() const { return length(circle.centre + radius - p); }
};

}  // namespace

TEST_CASE("meet finds the point of a circle at a given distance again, on the side it was drawn") {
    for (unsigned seed = 0; seed < 2000; ++seed) {
        const Case c(seed);
        const Side side = side_of(c.circle, c.p, c.radius);
        if (side.triple < 0.02) continue;  // the contract's toggle
        INFO("seed " << seed);
        const double distance2 = c.distance() * c.distance();
        const Meeting<double> found = meet(c.circle, c.p, distance2, side.sign);
        CHECK(found.room > 0.0);
        CHECK(length(found.radius - c.radius) <= 1e-8);
        for (const double sign : {side.sign, -side.sign}) {
            const Meeting<double> m = meet(c.circle, c.p, distance2, sign);
            CHECK_NEAR(length(m.radius), std::sqrt(c.circle.radius2), 1e-9);
            CHECK_NEAR(dot(m.radius, c.circle.axis), 0.0, 1e-9);
            CHECK_NEAR(length(c.circle.centre + m.radius - c.p), c.distance(), 1e-9);
            CHECK(side_of(c.circle, c.p, m.radius).sign == sign);
        }
    }
}

TEST_CASE("where circle and sphere do not meet, `missing` is the change that makes them touch") {
    int longer = 0, shorter = 0;
    for (unsigned seed = 0; seed < 500; ++seed) {
        const Case c(seed);
        INFO("seed " << seed);
        CHECK(missing(c.circle, c.p, c.distance()) == 0.0);
        for (const double off : {0.01, 3.0, 50.0})
            for (const bool too_long : {true, false}) {
                // The nearest and the farthest point of the circle lie in the plane of its axis and p.
                const Vec3<double> q = c.p - c.circle.centre;
                const Vec3<double> across = q - c.circle.axis * dot(q, c.circle.axis);
                const Vec3<double> toward = across * (std::sqrt(c.circle.radius2) / length(across));
                const double end = length(too_long ? q + toward : q - toward);
                const double distance = too_long ? end + off : end - off;
                if (distance <= 0.0) continue;
                CHECK(meet(c.circle, c.p, distance * distance, 1.0).room < 0.0);
                CHECK_NEAR(missing(c.circle, c.p, distance), too_long ? -off : off, 1e-9);
                ++(too_long ? shorter : longer);
                const Meeting<double> none = meet(c.circle, c.p, distance * distance, 1.0);
                CHECK(std::isfinite(none.radius.x + none.radius.y + none.radius.z));
            }
    }
    CHECK(longer > 100);
    CHECK(shorter > 100);
}

TEST_CASE("the triple product says how near a drawn linkage is to its toggle") {
    const Circle<double> circle = {{}, {0.0, 0.0, 1.0}, 4.0};
    const Vec3<double> radius = {2.0, 0.0, 0.0};
    CHECK_NEAR(side_of(circle, {2.0, 5.0, 0.0}, radius).triple, 1.0, 1e-15);  // the rod square to the radius
    CHECK(side_of(circle, {7.0, 0.0, 0.0}, radius).triple == 0.0);            // in line with it
    CHECK_NEAR(side_of(circle, {7.0, 0.1, 0.0}, radius).triple, 0.1 / std::hypot(5.0, 0.1), 1e-15);
    CHECK(side_of(circle, {2.0, 5.0, 0.0}, radius).sign == -side_of(circle, {2.0, -5.0, 0.0}, radius).sign);
    CHECK(side_of(circle, {2.0, 0.0, 0.0}, radius).triple == 0.0);  // a rod of no length
}
