// Dual numbers: a value and its derivatives in blocks (a double, or a vector of 2 or 4 doubles), by the chain rule.
// `Tag` lets a translation unit of another instruction set have a type of its own, so that no symbol is shared with it.
#pragma once

#include <cstddef>

#include "shimwise/math/scalar.hpp"

namespace shimwise {

using Block2 [[gnu::vector_size(16UL)]] = double;
using Block4 [[gnu::vector_size(32UL)]] = double;

template <class Block, std::size_t N, class Tag = void>
struct Dual {
    double v;
    Block d[N];

    Dual() {}  // NOLINT: leaves the numbers open, as a double does, inside a Vec3 too
    constexpr Dual(double value) : v(value), d{} {}  // NOLINT: a constant is a dual number without derivatives

    friend Dual operator+(const Dual& a, const Dual& b) {
        return each(a.v + b.v, [&](std::size_t i) { return a.d[i] + b.d[i]; });
    }
    friend Dual operator-(const Dual& a, const Dual& b) {
        return each(a.v - b.v, [&](std::size_t i) { return a.d[i] - b.d[i]; });
    }
    friend Dual operator*(const Dual& a, const Dual& b) {
        return each(a.v * b.v, [&](std::size_t i) { return a.d[i] * b.v + b.d[i] * a.v; });
    }
    friend Dual operator/(const Dual& a, const Dual& b) {
        const double r = 1.0 / b.v;
        const double q = a.v / b.v;
        return each(q, [&](std::size_t i) { return (a.d[i] - b.d[i] * q) * r; });
    }
    friend Dual operator-(const Dual& a) { return chain(-a.v, a, -1.0); }
    friend Dual operator+(const Dual& a, double b) { return with_value(a, a.v + b); }
    friend Dual operator+(double a, const Dual& b) { return with_value(b, a + b.v); }
    friend Dual operator-(const Dual& a, double b) { return with_value(a, a.v - b); }
    friend Dual operator-(double a, const Dual& b) { return chain(a - b.v, b, -1.0); }
    friend Dual operator*(const Dual& a, double b) { return chain(a.v * b, a, b); }
    friend Dual operator*(double a, const Dual& b) { return chain(a * b.v, b, a); }
    friend Dual operator/(const Dual& a, double b) { return chain(a.v / b, a, 1.0 / b); }
    friend Dual operator/(double a, const Dual& b) {
        const double q = a / b.v;
        return chain(q, b, -q / b.v);
    }
    friend Dual sqrt(const Dual& a) {
        const double s = sqrt(a.v);
        return chain(s, a, 0.5 / s);
    }
    friend Dual square(const Dual& a) { return chain(a.v * a.v, a, a.v + a.v); }
    friend Dual select(bool condition, const Dual& yes, const Dual& no) { return condition ? yes : no; }
    friend Dual positive(const Dual& a) { return a.v > 0.0 ? a : Dual(0.0); }
    friend Dual magnitude(const Dual& a) { return a.v < 0.0 ? -a : a; }
    friend bool operator<(const Dual& a, const Dual& b) { return a.v < b.v; }
    friend bool operator>(const Dual& a, const Dual& b) { return a.v > b.v; }

    /// f(a) where f has this value and slope at a.v.
    static Dual chain(double value, const Dual& a, double slope) {
        return each(value, [&](std::size_t i) { return a.d[i] * slope; });
    }

private:
    template <class Derivative>
    [[gnu::always_inline]] static Dual each(double value, const Derivative& derivative) {
        Dual r;
        r.v = value;
#pragma GCC unroll 4
        for (std::size_t i = 0; i < N; ++i) r.d[i] = derivative(i);
        return r;
    }
    static Dual with_value(const Dual& a, double value) {
        return each(value, [&](std::size_t i) { return a.d[i]; });
    }
};

}  // namespace shimwise
