#include "shimwise/math/sine.hpp"

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("sine and cosine of a dual number are those of its value, and each other's slope") {
    using D = Dual<double, 1>;
    for (const double angle : {-2.0, -0.3, 0.0, 0.7, 3.0}) {
        D x(angle);
        x.d[0] = 2.0;
        CHECK_NEAR(sin(x).v, std::sin(angle), 0.0);
        CHECK_NEAR(cos(x).v, std::cos(angle), 0.0);
        CHECK_NEAR(sin(x).d[0], 2.0 * std::cos(angle), 1e-15);
        CHECK_NEAR(cos(x).d[0], -2.0 * std::sin(angle), 1e-15);
        const D one = square(sin(x)) + square(cos(x));
        CHECK_NEAR(one.v, 1.0, 1e-15);
        CHECK_NEAR(one.d[0], 0.0, 1e-15);
    }
}
