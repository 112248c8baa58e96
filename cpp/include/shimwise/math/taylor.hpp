// A number with its first and second derivative by one variable: half the work of a dual number of dual numbers.
#pragma once

#include "shimwise/math/atan.hpp"

namespace shimwise {

struct Taylor2 {
    double v = 0.0, d = 0.0, dd = 0.0;

    constexpr Taylor2() = default;
    constexpr Taylor2(double value) : v(value) {}  // NOLINT: a constant is a number without derivatives
    constexpr Taylor2(double value, double slope, double bend) : v(value), d(slope), dd(bend) {}

    double value() const { return v; }

    /// f(a), where f has this value, slope and curvature at a's value.
    static Taylor2 chain(const Taylor2& a, double f, double slope, double bend) {
        return {f, slope * a.d, slope * a.dd + bend * a.d * a.d};
    }

    friend Taylor2 operator+(const Taylor2& a, const Taylor2& b) { return {a.v + b.v, a.d + b.d, a.dd + b.dd}; }
    friend Taylor2 operator-(const Taylor2& a, const Taylor2& b) { return {a.v - b.v, a.d - b.d, a.dd - b.dd}; }
    friend Taylor2 operator-(const Taylor2& a) { return {-a.v, -a.d, -a.dd}; }
    friend Taylor2 operator*(const Taylor2& a, const Taylor2& b) {
        return {a.v * b.v, a.d * b.v + a.v * b.d, a.dd * b.v + 2.0 * a.d * b.d + a.v * b.dd};
    }
    friend Taylor2 operator/(const Taylor2& a, const Taylor2& b) {
        const double r = 1.0 / b.v;
        const double q = a.v * r;
        const double slope = (a.d - q * b.d) * r;
        return {q, slope, (a.dd - 2.0 * slope * b.d - q * b.dd) * r};
    }
    friend Taylor2 operator+(const Taylor2& a, double b) { return {a.v + b, a.d, a.dd}; }
    friend Taylor2 operator+(double a, const Taylor2& b) { return b + a; }
    friend Taylor2 operator-(const Taylor2& a, double b) { return {a.v - b, a.d, a.dd}; }
    friend Taylor2 operator-(double a, const Taylor2& b) { return {a - b.v, -b.d, -b.dd}; }
    friend Taylor2 operator*(const Taylor2& a, double b) { return {a.v * b, a.d * b, a.dd * b}; }
    friend Taylor2 operator*(double a, const Taylor2& b) { return b * a; }
    friend Taylor2 operator/(const Taylor2& a, double b) { return a * (1.0 / b); }
    friend Taylor2 operator/(double a, const Taylor2& b) {
        const double r = 1.0 / b.v;
        return chain(b, a * r, -a * r * r, 2.0 * a * r * r * r);
    }
    friend Taylor2 sqrt(const Taylor2& a) {
        const double s = sqrt(a.v);
        return chain(a, s, 0.5 / s, -0.25 / (s * a.v));
    }
    friend Taylor2 square(const Taylor2& a) { return {a.v * a.v, 2.0 * a.v * a.d, 2.0 * (a.d * a.d + a.v * a.dd)}; }
    friend Taylor2 atan(const Taylor2& a) {
        const double slope = 1.0 / (1.0 + a.v * a.v);
        return chain(a, atan(a.v), slope, -2.0 * a.v * slope * slope);
    }
    friend Taylor2 positive(const Taylor2& a) { return a.v > 0.0 ? a : Taylor2(0.0); }
};

}  // namespace shimwise
