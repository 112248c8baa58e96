// Sine and cosine of a double and of a dual number of doubles. Not for packs: the library's functions differ in lanes.
#pragma once

#include <cmath>

#include "shimwise/math/dual.hpp"

namespace shimwise {

inline double sin(double a) { return std::sin(a); }
inline double cos(double a) { return std::cos(a); }

template <class Block, std::size_t N, class Tag>
Dual<Block, N, Tag> sin(const Dual<Block, N, Tag>& a) {
    return Dual<Block, N, Tag>::chain(sin(a.v), a, cos(a.v));
}
template <class Block, std::size_t N, class Tag>
Dual<Block, N, Tag> cos(const Dual<Block, N, Tag>& a) {
    return Dual<Block, N, Tag>::chain(cos(a.v), a, -sin(a.v));
}

}  // namespace shimwise
