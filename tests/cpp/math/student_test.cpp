#include "shimwise/math/student.hpp"

#include <cmath>
#include <limits>
#include <numbers>

#include "catch.hpp"
#include "shimwise/math/normal.hpp"

using namespace shimwise;

TEST_CASE("of one and of two degrees Student's t is what the closed forms say, far into the tail") {
    for (const double t : {-1e8, -300.0, -3.0, -0.7, -1e-9, 0.0, 1e-9, 0.4, 2.0, 50.0}) {
        // One: 1/2 + arctan(t) / pi, below 0 as arctan(-1 / t) / pi. Two: 1/2 + t / (2 sqrt(2 + t^2)).
        const double one = t < 0.0 ? std::atan(-1.0 / t) / std::numbers::pi : 0.5 + std::atan(t) / std::numbers::pi;
        const double root = std::sqrt(2.0 + t * t);
        const double two = t < 0.0 ? 1.0 / (root * (root - t)) : 0.5 + 0.5 * t / root;
        CHECK_NEAR(student_below(t, 1) / one, 1.0, 1e-13);
        CHECK_NEAR(student_below(t, 2) / two, 1.0, 1e-13);
    }
}

// A law that the continued fraction does not know: f(nu + 2) - f(nu) is one more term of the finite sums (Abramowitz
// and Stegun 26.7.3, 26.7.4).
TEST_CASE("two more degrees add one term of the finite sum") {
    for (const double t : {0.3, 1.0, 2.5, 8.0})
        for (int degrees = 1; degrees < 60; ++degrees) {
            const double n = degrees, theta = std::atan(t / std::sqrt(n));
            double term = degrees % 2 == 1 ? 2.0 / std::numbers::pi : 1.0;
            double sum = degrees % 2 == 1 ? 0.0 : 1.0, last = 1.0;
            if (degrees % 2 == 1) {
                last = std::cos(theta);
                for (int k = 3; k <= degrees; k += 2)
                    sum += last, last *= std::cos(theta) * std::cos(theta) * (k - 1) / k;
                sum = term * (theta + std::sin(theta) * sum);
            } else {
                for (int k = 2; k < degrees; k += 2) {
                    last *= std::cos(theta) * std::cos(theta) * (k - 1) / k;
                    sum += last;
                }
                sum *= term * std::sin(theta);
            }
            CHECK_NEAR(student_below(t, degrees), 0.5 + 0.5 * sum, 1e-13);
        }
}

TEST_CASE("quantiles go there and back, at both ends and in the middle") {
    for (const int degrees : {1, 2, 3, 7, 48, 1000})
        for (const double p : {1e-12, 1e-4, 0.025, 0.3, 0.5, 0.51, 0.975, 0.9999}) {
            const double t = student_quantile(p, degrees);
            CHECK_NEAR(student_below(t, degrees) / p, 1.0, 1e-12);
            CHECK_NEAR(student_quantile(1.0 - p, degrees), -t, 1e-9 * std::abs(t) / p);
        }
    CHECK_NEAR(student_below(0.8, 1'000'000), normal_below(0.8), 1e-6);
}

TEST_CASE("the ends of Student's t, and what has no sense") {
    const double infinity = std::numeric_limits<double>::infinity();
    CHECK(student_below(-infinity, 3) == 0.0);
    CHECK(student_below(infinity, 3) == 1.0);
    CHECK(student_below(-1e200, 5) == 0.0);
    CHECK_THROWS_AS(student_below(1.0, 0), std::invalid_argument);
    for (const double p : {0.0, 1.0, -0.1, std::nan("")})
        CHECK_THROWS_AS(student_quantile(p, 3), std::invalid_argument);
    CHECK_THROWS_AS(student_quantile(0.5, 0), std::invalid_argument);
}
