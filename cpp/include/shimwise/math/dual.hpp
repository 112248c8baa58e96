// Dual numbers: a value and its derivatives in blocks (a double, or a vector of 2 or 4 doubles), by the chain rule. A
// block that is a dual number itself gives second derivatives: value and derivative then carry derivatives. `Tag` lets
// a translation unit of another instruction set have a type of its own, so that no symbol is shared with it.
#pragma once

#include <cstddef>
#include <type_traits>

#include "shimwise/math/scalar.hpp"

namespace shimwise {

using Block2 [[gnu::vector_size(16UL)]] = double;
using Block4 [[gnu::vector_size(32UL)]] = double;

template <class Block, std::size_t N, class Tag = void>
struct Dual {
    /// Beside one short block the value stands in both lanes: then no product spends instructions on spreading it.
    static constexpr bool twice = std::is_same_v<Block, Block2> && N == 1;
    static constexpr bool nested = std::is_class_v<Block>;
    using Value = std::conditional_t<twice || nested, Block, double>;
    Value v;
    Block d[N];

    Dual() {}  // NOLINT: leaves the numbers open, as a double does, inside a Vec3 too
    constexpr Dual(double value) : v(spread(value)), d{} {  // NOLINT: a constant is a number without derivatives
        if constexpr (nested)
            for (Block& block : d) block = Block(0.0);
    }

    /// Of a nested number: one that varies as `value` does, and not by the outer variables.
    template <class Same>
        requires(nested && std::is_same_v<Same, Block>)
    explicit Dual(const Same& value) : v(value) {
        for (Block& block : d) block = Block(0.0);
    }

    [[gnu::always_inline]] constexpr double value() const {
        if constexpr (twice)
            return v[0];
        else if constexpr (nested)
            return v.value();
        else
            return v;
    }

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
        const Value r = 1.0 / b.v;
        const Value q = a.v / b.v;
        return each(q, [&](std::size_t i) { return (a.d[i] - b.d[i] * q) * r; });
    }
    friend Dual operator-(const Dual& a) {
        return each(-a.v, [&](std::size_t i) { return -a.d[i]; });
    }
    friend Dual operator+(const Dual& a, double b) { return with_value(a, a.v + b); }
    friend Dual operator+(double a, const Dual& b) { return with_value(b, a + b.v); }
    friend Dual operator-(const Dual& a, double b) { return with_value(a, a.v - b); }
    friend Dual operator-(double a, const Dual& b) {
        return each(a - b.v, [&](std::size_t i) { return -b.d[i]; });
    }
    friend Dual operator*(const Dual& a, double b) { return chain(a.v * b, a, b); }
    friend Dual operator*(double a, const Dual& b) { return chain(a * b.v, b, a); }
    friend Dual operator/(const Dual& a, double b) { return chain(a.v / b, a, 1.0 / b); }
    friend Dual operator/(double a, const Dual& b) {
        const Value q = a / b.v;
        return chain(q, b, -q / b.v);
    }
    friend Dual sqrt(const Dual& a) {
        const Value s = root(a.v);
        return chain(s, a, 0.5 / s);
    }
    friend Dual square(const Dual& a) { return chain(a.v * a.v, a, a.v + a.v); }
    friend Dual select(bool condition, const Dual& yes, const Dual& no) { return condition ? yes : no; }
    friend Dual positive(const Dual& a) { return a.value() > 0.0 ? a : Dual(0.0); }
    friend Dual magnitude(const Dual& a) { return a.value() < 0.0 ? -a : a; }
    friend bool operator<(const Dual& a, const Dual& b) { return a.value() < b.value(); }
    friend bool operator>(const Dual& a, const Dual& b) { return a.value() > b.value(); }

    /// f(a), where f has this value and slope at a's value.
    template <class Slope>
    static Dual chain(Value value, const Dual& a, Slope slope) {
        return each(value, [&](std::size_t i) { return a.d[i] * slope; });
    }
    [[gnu::always_inline]] static constexpr Value spread(double value) {
        if constexpr (twice)
            return Value{value, value};
        else
            return value;
    }

private:
    [[gnu::always_inline]] static Value root(const Value& value) {
        if constexpr (twice)
            return spread(sqrt(value[0]));
        else
            return sqrt(value);
    }
    template <class Derivative>
    [[gnu::always_inline]] static Dual each(Value value, const Derivative& derivative) {
        Dual r;  // NOLINT: filled below
        r.v = value;
#pragma GCC unroll 4
        for (std::size_t i = 0; i < N; ++i) r.d[i] = derivative(i);
        return r;
    }
    static Dual with_value(const Dual& a, Value value) {
        return each(value, [&](std::size_t i) { return a.d[i]; });
    }
};

}  // namespace shimwise
