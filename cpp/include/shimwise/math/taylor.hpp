// A number with its first and second derivative by one variable: half the work of a dual number of dual numbers.
#pragma once

#include <type_traits>

#include "shimwise/math/atan.hpp"

namespace shimwise {

template <class N>
struct TaylorOf {
    N v{}, d{}, dd{};

    constexpr TaylorOf() = default;
    constexpr TaylorOf(double value) : v(value) {}  // NOLINT: a constant is a number without derivatives
    template <class Same>
        requires(std::is_same_v<Same, N> && !std::is_same_v<N, double>)
    explicit TaylorOf(const Same& value) : v(value) {}
    constexpr TaylorOf(const N& value, const N& slope, const N& bend) : v(value), d(slope), dd(bend) {}

    const N& value() const { return v; }

    /// f(a), where f has this value, slope and curvature at a's value.
    static TaylorOf chain(const TaylorOf& a, const N& f, const N& slope, const N& bend) {
        return {f, slope * a.d, slope * a.dd + bend * a.d * a.d};
    }

    friend TaylorOf operator+(const TaylorOf& a, const TaylorOf& b) { return {a.v + b.v, a.d + b.d, a.dd + b.dd}; }
    friend TaylorOf operator-(const TaylorOf& a, const TaylorOf& b) { return {a.v - b.v, a.d - b.d, a.dd - b.dd}; }
    friend TaylorOf operator-(const TaylorOf& a) { return {-a.v, -a.d, -a.dd}; }
    friend TaylorOf operator*(const TaylorOf& a, const TaylorOf& b) {
        return {a.v * b.v, a.d * b.v + a.v * b.d, a.dd * b.v + 2.0 * a.d * b.d + a.v * b.dd};
    }
    friend TaylorOf operator/(const TaylorOf& a, const TaylorOf& b) {
        const N r = 1.0 / b.v;
        const N q = a.v * r;
        const N slope = (a.d - q * b.d) * r;
        return {q, slope, (a.dd - 2.0 * slope * b.d - q * b.dd) * r};
    }
    friend TaylorOf operator+(const TaylorOf& a, double b) { return {a.v + b, a.d, a.dd}; }
    friend TaylorOf operator+(double a, const TaylorOf& b) { return b + a; }
    friend TaylorOf operator-(const TaylorOf& a, double b) { return {a.v - b, a.d, a.dd}; }
    friend TaylorOf operator-(double a, const TaylorOf& b) { return {a - b.v, -b.d, -b.dd}; }
    friend TaylorOf operator*(const TaylorOf& a, double b) { return {a.v * b, a.d * b, a.dd * b}; }
    friend TaylorOf operator*(double a, const TaylorOf& b) { return b * a; }
    friend TaylorOf operator/(const TaylorOf& a, double b) { return a * (1.0 / b); }
    friend TaylorOf operator/(double a, const TaylorOf& b) {
        const N r = 1.0 / b.v;
        return chain(b, a * r, -a * r * r, 2.0 * a * r * r * r);
    }
    friend TaylorOf sqrt(const TaylorOf& a) {
        const N s = sqrt(a.v);
        return chain(a, s, 0.5 / s, -0.25 / (s * a.v));
    }
    friend TaylorOf square(const TaylorOf& a) { return {a.v * a.v, 2.0 * a.v * a.d, 2.0 * (a.d * a.d + a.v * a.dd)}; }
    friend TaylorOf atan(const TaylorOf& a) {
        const N slope = 1.0 / (1.0 + a.v * a.v);
        return chain(a, atan(a.v), slope, -2.0 * a.v * slope * slope);
    }
    friend TaylorOf positive(const TaylorOf& a) {
        const auto above = a.v > N(0.0);
        return {select(above, a.v, N(0.0)), select(above, a.d, N(0.0)), select(above, a.dd, N(0.0))};
    }
};
using Taylor2 = TaylorOf<double>;

}  // namespace shimwise
