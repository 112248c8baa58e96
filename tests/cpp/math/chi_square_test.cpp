#include "shimwise/math/chi_square.hpp"

#include <cmath>

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("the probability above of one and of two squares is that of erfc and of exp") {
    for (const double x : {1e-9, 0.3, 2.0, 11.0, 80.0}) {
        CHECK_NEAR(chi_square_above(x, 1) / std::erfc(std::sqrt(0.5 * x)), 1.0, 1e-14);
        CHECK_NEAR(chi_square_above(x, 2) / std::exp(-0.5 * x), 1.0, 1e-14);
    }
}

TEST_CASE("two more squares raise the probability above by x / degrees times the density") {
    for (int degrees = 1; degrees < 60; ++degrees)
        for (const double x : {0.5, 7.0, 40.0}) {
            const double half = 0.5 * degrees;
            const double density = 0.5 * std::exp((half - 1.0) * std::log(0.5 * x) - 0.5 * x - std::lgamma(half));
            const double more = chi_square_above(x, degrees + 2) - chi_square_above(x, degrees);
            CHECK_NEAR(more, 2.0 * x / degrees * density, 1e-13);
        }
}

TEST_CASE("critical values of NIST table 1.3.6.7.4, as recalled, are exceeded as often as it says") {
    struct Row {
        int degrees;
        double above_0_05, above_0_001;
    };
    for (const Row& row : {Row{1, 3.841, 10.828}, Row{10, 18.307, 29.588}, Row{21, 32.671, 46.797}}) {
        CHECK_NEAR(chi_square_above(row.above_0_05, row.degrees), 0.05, 2e-5);
        CHECK_NEAR(chi_square_above(row.above_0_001, row.degrees), 0.001, 1e-6);
    }
}

TEST_CASE("of no squares nothing is above, all is not below, and far out nothing remains") {
    CHECK(chi_square_above(0.0, 0) == 1.0);
    CHECK(chi_square_above(1e-300, 0) == 0.0);
    CHECK(chi_square_above(0.0, 7) == 1.0);
    CHECK(chi_square_above(1e6, 24) == 0.0);
}
