// Four doubles that go through the same lines at once. + - * / sqrt give the same bits as a double does, lane by lane.
#pragma once

#include <array>
#include <cstdint>

#include "shimwise/math/dual.hpp"

namespace shimwise {

using Mask4 [[gnu::vector_size(32UL)]] = std::int64_t;

/// A number in four states: what goes into and out of the lanes.
using FourNumbers = std::array<double, 4>;

template <class Tag>
struct Pack {
    using Mask = Mask4;
    static constexpr int lanes = 4;
    Block4 v = {};

    Pack() = default;
    Pack(double same) : v{same, same, same, same} {}  // NOLINT: a constant is the same in every lane
    static Pack of(Block4 lanes_of) {
        Pack r;
        r.v = lanes_of;
        return r;
    }
    static Pack of(const FourNumbers& numbers) {
        Pack r;
        __builtin_memcpy(&r.v, &numbers, sizeof r.v);
        return r;
    }
    void into(FourNumbers& numbers) const { __builtin_memcpy(&numbers, &v, sizeof v); }

    friend Pack operator+(const Pack& a, const Pack& b) { return of(a.v + b.v); }
    friend Pack operator-(const Pack& a, const Pack& b) { return of(a.v - b.v); }
    friend Pack operator*(const Pack& a, const Pack& b) { return of(a.v * b.v); }
    friend Pack operator/(const Pack& a, const Pack& b) { return of(a.v / b.v); }
    friend Pack operator-(const Pack& a) { return of(-a.v); }
    friend Mask operator<(const Pack& a, const Pack& b) { return a.v < b.v; }
    friend Mask operator>(const Pack& a, const Pack& b) { return a.v > b.v; }
    friend Mask operator<=(const Pack& a, const Pack& b) { return a.v <= b.v; }
    friend Mask operator>=(const Pack& a, const Pack& b) { return a.v >= b.v; }
    friend Pack sqrt(const Pack& a) {
        Pack r;
        for (int i = 0; i < lanes; ++i) r.v[i] = sqrt(a.v[i]);
        return r;
    }
    friend Pack square(const Pack& a) { return a * a; }
    friend Pack select(Mask condition, const Pack& yes, const Pack& no) { return of(condition ? yes.v : no.v); }
    friend Pack positive(const Pack& a) { return of(a.v > 0.0 ? a.v : Block4{}); }
    friend Pack magnitude(const Pack& a) { return of(Block4(Mask(a.v) & INT64_MAX)); }
    friend Pack with_sign_of(const Pack& size, const Pack& sign) {
        return of(Block4((Mask(size.v) & INT64_MAX) | (Mask(sign.v) & INT64_MIN)));
    }
};

[[gnu::always_inline]] inline Mask4 both(Mask4 a, Mask4 b) { return a & b; }
[[gnu::always_inline]] inline bool all(Mask4 m) { return (m[0] & m[1] & m[2] & m[3]) != 0; }

}  // namespace shimwise
