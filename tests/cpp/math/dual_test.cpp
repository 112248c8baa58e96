#include "shimwise/math/dual.hpp"

#include <array>
#include <cmath>
#include <cstddef>
#include <cstring>
#include <random>

#include "catch.hpp"
#include "shimwise/math/atan.hpp"
#include "shimwise/math/vec3.hpp"

using namespace shimwise;

namespace {

/// Derivatives as plain numbers.
template <class D>
inline constexpr int directions = static_cast<int>(sizeof(D) - offsetof(D, d)) / static_cast<int>(sizeof(double));

template <class D>
std::array<double, directions<D>> derivatives(const D& x) {
    std::array<double, directions<D>> all;
    std::memcpy(all.data(), x.d, sizeof all);
    return all;
}

template <class D>
D seeded(double value, int direction) {
    std::array<double, directions<D>> all{};
    all[static_cast<std::size_t>(direction)] = 1.0;
    D x(value);
    std::memcpy(x.d, all.data(), sizeof all);
    return x;
}

/// d f / d x_i by Richardson's extrapolation of central differences.
template <class F>
double difference(const F& f, double a, double b, int i) {
    const double h = 1e-3;
    const auto at = [&](double s) { return i == 0 ? f(a + s, b) : f(a, b + s); };
    return (8.0 * (at(h) - at(-h)) - (at(2.0 * h) - at(-2.0 * h))) / (12.0 * h);
}

/// f of two numbers: value as a double gives it, derivatives as differences give them, in the first and last direction.
template <class D, class F>
void check(const char* what, const F& f) {
    constexpr int last = directions<D> - 1;
    std::mt19937 engine(7);
    std::uniform_real_distribution<double> size(0.3, 3.0);
    for (int i = 0; i < 50; ++i) {
        const double a = i % 2 == 0 ? size(engine) : -size(engine), b = size(engine);
        INFO(what << " at " << a << ", " << b);
        const D r = f(seeded<D>(a, 0), seeded<D>(b, last));
        const auto rates = derivatives(r);
        CHECK_NEAR(r.value(), f(a, b), 4e-16 * std::fabs(f(a, b)));
        const double by_x = difference(f, a, b, 0), by_y = difference(f, a, b, 1);
        CHECK_NEAR(rates.front(), by_x, 1e-9 * (1.0 + std::fabs(by_x)));
        CHECK_NEAR(rates.back(), by_y, 1e-9 * (1.0 + std::fabs(by_y)));
        for (std::size_t k = 1; k + 1 < rates.size(); ++k) CHECK(rates[k] == 0.0);
    }
}

template <class D>
void check_all() {
    using shimwise::atan, shimwise::sqrt, shimwise::square, shimwise::magnitude, shimwise::positive, shimwise::select;
    check<D>("x + y", [](auto x, auto y) { return x + y; });
    check<D>("x - y", [](auto x, auto y) { return x - y; });
    check<D>("x * y", [](auto x, auto y) { return x * y; });
    check<D>("x / y", [](auto x, auto y) { return x / y; });
    check<D>("y / x", [](auto x, auto y) { return y / x; });
    check<D>("-x * -y", [](auto x, auto y) { return -x * -y; });
    check<D>("x + 2, 2 + y", [](auto x, auto y) { return (x + 2.0) * (2.0 + y); });
    check<D>("x - 2, 2 - y", [](auto x, auto y) { return (x - 2.0) * (2.0 - y); });
    check<D>("x * 3, 3 * y", [](auto x, auto y) { return x * 3.0 + square(3.0 * y); });
    check<D>("x / 3, 3 / y", [](auto x, auto y) { return square(x / 3.0) + 3.0 / y; });
    check<D>("sqrt", [](auto x, auto y) { return sqrt(y) * x + sqrt(square(x) + y); });
    check<D>("square", [](auto x, auto y) { return square(x) * y; });
    check<D>("magnitude", [](auto x, auto y) { return magnitude(x) * y; });
    check<D>("positive", [](auto x, auto y) { return positive(x) * y + positive(-y) + positive(square(y)); });
    check<D>("select", [](auto x, auto y) { return select(x > y, x * y, select(x < y, y, x)); });
    check<D>("atan", [](auto x, auto y) { return atan(x) * y + atan(square(y) * 2.0); });
    check<D>("a longer one", [](auto x, auto y) {
        using T = decltype(x);
        const Vec3<T> p = {x, y, x * y}, q = {T(1.0), x - y, square(y)};
        return dot(cross(p, q), p + q) + sqrt(squared(p - q)) / (1.0 + squared(q));
    });
}

}  // namespace

TEST_CASE("dual numbers of one, two and four derivatives to a block agree with differences") {
    check_all<Dual<Block2, 1>>();
    check_all<Dual<Block4, 1>>();
    check_all<Dual<Block4, 3>>();
}

TEST_CASE("a constant has no derivatives") {
    const Dual<Block4, 2> c(3.5);
    CHECK(c.v == 3.5);
    for (const double d : derivatives(c)) CHECK(d == 0.0);
    for (const double d : derivatives(sqrt(c * c + c / c))) CHECK(d == 0.0);
}
