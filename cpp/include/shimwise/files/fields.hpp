// The fields of a plain struct, one after the other, without their names: what copies, compares or stores any of them.
#pragma once

#include <cstddef>
#include <tuple>
#include <type_traits>
#include <utility>

#include "shimwise/math/vec3.hpp"

namespace shimwise {
namespace detail {

struct Anything {
    template <class T>
    operator T() const;  // never called
};

inline constexpr std::size_t most_fields = 25;

template <class T, std::size_t... I>
constexpr bool takes(std::index_sequence<I...>) {
    return requires { T{(static_cast<void>(I), Anything{})...}; };
}

template <class T, std::size_t N = 0>
constexpr std::size_t counted_fields() {
    if constexpr (N <= most_fields && takes<T>(std::make_index_sequence<N + 1>()))
        return counted_fields<T, N + 1>();
    else
        return N;
}

}  // namespace detail

/// How many fields it has. Counted of an aggregate; a struct with constructors says it here. A number that is wrong
/// does not compile.
template <class T>
inline constexpr std::size_t field_count = detail::counted_fields<T>();
template <class T>
inline constexpr std::size_t field_count<Vec3<T>> = 3;

/// References to all fields of `of`, in order.
template <class T>
constexpr auto fields(T& of) {
    constexpr std::size_t n = field_count<std::remove_const_t<T>>;
    static_assert(n <= detail::most_fields, "more fields than are written out below");
    // clang-format off
#define SHIMWISE_FIELDS(count, ...) else if constexpr (n == count) { auto& [__VA_ARGS__] = of; return std::tie(__VA_ARGS__); }
    if constexpr (n == 0) return std::tie();
    SHIMWISE_FIELDS(1, a)
    SHIMWISE_FIELDS(2, a, b)
    SHIMWISE_FIELDS(3, a, b, c)
    SHIMWISE_FIELDS(4, a, b, c, d)
    SHIMWISE_FIELDS(5, a, b, c, d, e)
    SHIMWISE_FIELDS(6, a, b, c, d, e, f)
    SHIMWISE_FIELDS(7, a, b, c, d, e, f, g)
    SHIMWISE_FIELDS(8, a, b, c, d, e, f, g, h)
    SHIMWISE_FIELDS(9, a, b, c, d, e, f, g, h, i)
    SHIMWISE_FIELDS(10, a, b, c, d, e, f, g, h, i, j)
    SHIMWISE_FIELDS(11, a, b, c, d, e, f, g, h, i, j, k)
    SHIMWISE_FIELDS(12, a, b, c, d, e, f, g, h, i, j, k, l)
    SHIMWISE_FIELDS(13, a, b, c, d, e, f, g, h, i, j, k, l, m)
    SHIMWISE_FIELDS(14, a, b, c, d, e, f, g, h, i, j, k, l, m, o)
    SHIMWISE_FIELDS(15, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p)
    SHIMWISE_FIELDS(16, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q)
    SHIMWISE_FIELDS(17, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r)
    SHIMWISE_FIELDS(18, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s)
    SHIMWISE_FIELDS(19, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s, t)
    SHIMWISE_FIELDS(20, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s, t, u)
    SHIMWISE_FIELDS(21, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s, t, u, v)
    SHIMWISE_FIELDS(22, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s, t, u, v, w)
    SHIMWISE_FIELDS(23, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s, t, u, v, w, x)
    SHIMWISE_FIELDS(24, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s, t, u, v, w, x, y)
    SHIMWISE_FIELDS(25, a, b, c, d, e, f, g, h, i, j, k, l, m, o, p, q, r, s, t, u, v, w, x, y, z)
#undef SHIMWISE_FIELDS
    // clang-format on
}

}  // namespace shimwise
