#include "shimwise/math/scalar.hpp"

#include <limits>

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("a double offers what every scalar does") {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(select(true, 1.0, 2.0) == 1.0);
    CHECK(select(false, 1.0, 2.0) == 2.0);
    CHECK(positive(-3.0) == 0.0);
    CHECK(positive(3.0) == 3.0);
    CHECK(positive(nan) == 0.0);
    CHECK(magnitude(-3.0) == 3.0);
    CHECK(with_sign_of(3.0, -0.0) == -3.0);
    CHECK(both(true, true));
    CHECK_FALSE(both(true, false));
    CHECK(all(true));
    CHECK_FALSE(all(false));
    CHECK(square(-3.0) == 9.0);
    CHECK(shimwise::sqrt(9.0) == 3.0);
}
