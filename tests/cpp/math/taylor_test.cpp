#include "shimwise/math/taylor.hpp"

#include "catch.hpp"

using namespace shimwise;

namespace {

/// A function that goes through every operator.
template <class T>
T composed(const T& x) {
    const T y = (x * x + 2.0) / (3.0 - x) - 1.0 / (x + 4.0);
    return sqrt(square(y) + 1.0) * atan(y) + positive(x * 0.5) - (5.0 - x) / 2.0 + (-y) * 0.25 + (1.0 + x - 0.5);
}

}  // namespace

TEST_CASE("value, slope and curvature are those of closed forms") {
    for (const double at : {-1.5, 0.4, 2.0}) {
        const Taylor2 x(at, 1.0, 0.0);
        const Taylor2 cube = x * x * x, inverse = 1.0 / x, angle = atan(x), root = sqrt(x * x + 1.0);
        CHECK_NEAR(cube.d, 3.0 * at * at, 1e-13);
        CHECK_NEAR(cube.dd, 6.0 * at, 1e-13);
        CHECK_NEAR(inverse.d, -1.0 / (at * at), 1e-13);
        CHECK_NEAR(inverse.dd, 2.0 / (at * at * at), 1e-13);
        CHECK_NEAR(angle.d, 1.0 / (1.0 + at * at), 1e-15);
        CHECK_NEAR(angle.dd, -2.0 * at / square(1.0 + at * at), 1e-15);
        const double r = std::sqrt(at * at + 1.0);
        CHECK_NEAR(root.d, at / r, 1e-15);
        CHECK_NEAR(root.dd, 1.0 / (r * r * r), 1e-15);
    }
}

TEST_CASE("every operator gives the derivatives of nested dual numbers") {
    using Inner = Dual<double, 1>;
    using Outer = Dual<Inner, 1>;
    for (const double at : {-1.5, 0.4, 2.0}) {
        Inner inner(at);
        inner.d[0] = 1.0;
        Outer outer(inner);
        outer.d[0] = Inner(1.0);
        const Outer expected = composed(outer);
        const Taylor2 found = composed(Taylor2(at, 1.0, 0.0));
        CHECK_NEAR(found.v, expected.v.v, 1e-14);
        CHECK_NEAR(found.d, expected.v.d[0], 1e-13);
        CHECK_NEAR(found.dd, expected.d[0].d[0], 1e-12);
    }
}
