#include "shimwise/math/atan.hpp"

#include <cmath>
#include <cstring>
#include <iostream>
#include <limits>
#include <random>

#include "catch.hpp"
#include "size.hpp"

using namespace shimwise;

namespace {

struct Tag {};

bool same_bits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

/// Four at a time, the fourth in every place.
double in_a_pack(double x, int lane) {
    Pack<Tag> p(0.5);
    p.v[lane] = x;
    return atan(p).v[lane];
}

double relative_error(double value, long double exact) {
    return static_cast<double>(std::fabs((static_cast<long double>(value) - exact) / exact));
}

}  // namespace

TEST_CASE("the arc tangent is good to 4e-16 of its value over the whole range, the same bits in every lane") {
    const int count = test_size("arguments of the arc tangent", 200'000, 5'000'000);
    std::mt19937_64 engine(1);
    std::uniform_real_distribution<double> exponent(-300.0, 300.0), near(-5.0, 5.0);
    double worst = 0.0, at = 0.0;
    for (int i = 0; i < count; ++i) {
        const double x = i % 4 == 0 ? std::pow(10.0, exponent(engine)) : near(engine);
        const double mine = shimwise::atan(x);
        const double error = relative_error(mine, std::atan(static_cast<long double>(x)));
        if (!(error <= worst)) worst = error, at = x;
        if (!(same_bits(in_a_pack(x, i % 4), mine) && same_bits(shimwise::atan(-x), -mine))) FAIL("bits at " << x);
    }
    INFO("worst at " << at);
    CHECK(worst < 4e-16);
    std::cout << "arc tangent: " << worst << " relative at most, at " << at << "\n";
}

TEST_CASE("the arc tangent at the seams and ends of its ranges") {
    // Computed to 40 digits and rounded.
    const std::pair<double, double> known[] = {
        {1.0, 0.78539816339744830962},  {0.5, 0.46364760900080611621},
        {2.0, 1.1071487177940905030},   {0.66, 0.58337300699385596112},
        {0.1, 0.099668652491162027378}, {3.0, 1.2490457723982544258},
        {10.0, 1.4711276743037345919},  {1e-8, 9.9999999999999998759e-9},
        {1e6, 1.5707953267948969526},   {1.7320508075688772, 1.0471975511965977211}};
    for (const auto& [x, exact] : known) {
        INFO(x);
        CHECK_NEAR(shimwise::atan(x), exact, 4e-16 * exact);
        CHECK_NEAR(shimwise::atan(-x), -exact, 4e-16 * exact);
    }
    for (const double seam : {0.66, 2.41421356237309504880})
        for (const double x : {std::nextafter(seam, 0.0), seam, std::nextafter(seam, 9.0)}) {
            CHECK(relative_error(shimwise::atan(x), std::atan(static_cast<long double>(x))) < 4e-16);
            for (int lane = 0; lane < 4; ++lane) CHECK(same_bits(in_a_pack(x, lane), shimwise::atan(x)));
        }
    CHECK(same_bits(shimwise::atan(0.0), 0.0));
    CHECK(same_bits(shimwise::atan(-0.0), -0.0));
    CHECK(same_bits(shimwise::atan(std::numeric_limits<double>::max()), 1.57079632679489661923));
    CHECK(std::isnan(shimwise::atan(std::numeric_limits<double>::quiet_NaN())));
}

TEST_CASE("the arc tangent's slope is 1 / (1 + x^2)") {
    using D = Dual<Block4, 1>;
    for (const double x : {-30.0, -2.0, -0.5, 0.0, 0.3, 0.7, 2.5, 1000.0}) {
        D d(x);
        d.d[0] = Block4{1.0, -2.0, 0.0, 0.5};
        const D a = atan(d);
        CHECK(same_bits(a.v, shimwise::atan(x)));
        for (int i = 0; i < 4; ++i) CHECK_NEAR(a.d[0][i], d.d[0][i] / (1.0 + x * x), 1e-15);
    }
}
