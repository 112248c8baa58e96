#include "shimwise/math/normal.hpp"

#include <cmath>
#include <limits>

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("the distribution function is one half at the middle and keeps its digits far below it") {
    CHECK(normal_below(0.0) == 0.5);
    CHECK_NEAR(normal_below(1.0), 0.5 * (1.0 + std::erf(std::sqrt(0.5))), 1e-15);
    // Mills' ratio, an asymptotic series: x = 10, terms to x^-12 leave 1e-8 of it.
    double term = 1.0, series = 1.0;
    for (int k = 1; k <= 6; ++k) series += term *= -(2 * k - 1) / 100.0;
    const double tail = std::exp(-50.0) / std::sqrt(2.0 * std::acos(-1.0)) / 10.0 * series;
    CHECK_NEAR(normal_below(-10.0) / tail, 1.0, 1e-7);
    CHECK(normal_below(-std::numeric_limits<double>::infinity()) == 0.0);
    CHECK(normal_below(std::numeric_limits<double>::infinity()) == 1.0);
}

TEST_CASE("the probability between two values is the same on both sides and zero in the wrong order") {
    for (const double low : {-9.0, -1.0, -0.25, 0.0, 0.3, 8.0}) {
        CHECK(normal_between(low, low + 0.5) == normal_between(-low - 0.5, -low));
        CHECK(normal_between(low, low + 0.5) > 0.0);
        CHECK(normal_between(low + 0.5, low) == 0.0);
    }
}

TEST_CASE("quantiles of AS 241 come back through the distribution function") {
    for (double p = 1e-300; p < 0.5; p *= 1.7) {
        INFO("p = " << p);
        const double x = normal_quantile(p);
        CHECK_NEAR(normal_below(x) / p, 1.0, 2e-15 * (1.0 + x * x));  // an ulp of x moves p by x^2 ulps
    }
    for (double p = 0.5; p < 1.0; p += 0.0117) CHECK_NEAR(normal_below(normal_quantile(p)), p, 1e-15);
    for (const double p : {0.3, 0.05, 1e-3}) CHECK_NEAR(normal_quantile(1.0 - p), -normal_quantile(p), 1e-12);
    CHECK(normal_quantile(0.5) == 0.0);
}

TEST_CASE("quantiles of AS 241 at its own check points") {
    // RECALL: printed in Wichura's paper for p = 0.25, 0.001 and 1e-20.
    CHECK_NEAR(normal_quantile(0.25), -0.6744897501960817, 1e-15);
    CHECK_NEAR(normal_quantile(0.001), -3.090232306167814, 4e-15);
    CHECK_NEAR(normal_quantile(1e-20), -9.262340089798408, 1e-14);
}
