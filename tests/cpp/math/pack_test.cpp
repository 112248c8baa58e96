#include "shimwise/math/pack.hpp"

#include <cmath>
#include <cstring>
#include <limits>
#include <random>
#include <vector>

#include "catch.hpp"

using namespace shimwise;

namespace {

struct Tag {};
using P = Pack<Tag>;

bool same_bits(double a, double b) { return (std::isnan(a) && std::isnan(b)) || std::memcmp(&a, &b, sizeof a) == 0; }

/// Numbers of every size and sign, and those that need care.
std::vector<double> numbers() {
    constexpr double inf = std::numeric_limits<double>::infinity();
    std::vector<double> all = {0.0,
                               -0.0,
                               1.0,
                               -1.0,
                               inf,
                               -inf,
                               std::numeric_limits<double>::quiet_NaN(),
                               std::numeric_limits<double>::min(),
                               std::numeric_limits<double>::denorm_min(),
                               std::numeric_limits<double>::max()};
    std::mt19937_64 engine(3);
    std::uniform_real_distribution<double> mantissa(-10.0, 10.0), exponent(-30.0, 30.0);
    while (all.size() < 400) all.push_back(mantissa(engine) * std::pow(10.0, exponent(engine)));
    return all;
}

}  // namespace

TEST_CASE("a pack gives the bits of a double in every lane") {
    const std::vector<double> all = numbers();
    std::mt19937 engine(5);
    const auto any = [&] { return all[engine() % all.size()]; };
    for (int round = 0; round < 20'000; ++round) {
        P a, b;
        for (int i = 0; i < P::lanes; ++i) a.v[i] = any(), b.v[i] = any();
        const P sum = a + b, difference = a - b, product = a * b, ratio = a / b, negative = -a, root = sqrt(a),
                squared = square(a), size = magnitude(a), signed_as = with_sign_of(a, b), bigger = select(a > b, a, b),
                above = positive(a);
        const Mask4 less = a<b, more = a> b, at_most = a <= b, at_least = a >= b;
        bool good = true;
        for (int i = 0; i < P::lanes; ++i) {
            const double x = a.v[i], y = b.v[i];
            good = good && same_bits(sum.v[i], x + y) && same_bits(difference.v[i], x - y) &&
                   same_bits(product.v[i], x * y) && same_bits(ratio.v[i], x / y) && same_bits(negative.v[i], -x) &&
                   same_bits(root.v[i], std::sqrt(x)) && same_bits(squared.v[i], x * x) &&
                   same_bits(size.v[i], std::fabs(x)) && same_bits(signed_as.v[i], std::copysign(x, y)) &&
                   same_bits(bigger.v[i], x > y ? x : y) && same_bits(above.v[i], shimwise::positive(x)) &&
                   (above.v[i] == (x > 0.0 ? x : 0.0)) && (less[i] != 0) == (x < y) && (more[i] != 0) == (x > y) &&
                   (at_most[i] != 0) == (x <= y) && (at_least[i] != 0) == (x >= y);
        }
        if (!good) FAIL("round " << round);
    }
    const P same = 2.5;
    for (int i = 0; i < P::lanes; ++i) CHECK(same.v[i] == 2.5);
}

TEST_CASE("all and both of a pack's comparisons") {
    P a, b;
    a.v = Block4{1.0, 2.0, 3.0, 4.0};
    b.v = Block4{2.0, 3.0, 4.0, 5.0};
    CHECK(all(a < b));
    CHECK(all(both(a<b, b> a)));
    for (int i = 0; i < P::lanes; ++i) {
        P c = b;
        c.v[i] = 0.0;
        CHECK_FALSE(all(a < c));
        CHECK_FALSE(all(both(a < b, a < c)));
        CHECK((both(a < b, a < c)[i] == 0));
    }
}
