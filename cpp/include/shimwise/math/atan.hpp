// One arc tangent for every scalar, with the same bits in every lane: range reduction and a rational form of degree 4 /
// 5 in x^2 (coefficients of the Cephes library's atan, S. L. Moshier, from memory; its error is asserted in the tests).
#pragma once

#include "shimwise/math/dual.hpp"
#include "shimwise/math/pack.hpp"

namespace shimwise {

/// arc tangent in radian of a double or a pack. `Tag` as in Dual.
template <class Tag, class T>
T rational_atan(const T& x) {
    const T a = magnitude(x);
    const auto large = a > T(2.41421356237309504880);  // tan(3 pi / 8)
    const auto middle = a > T(0.66);
    const T top = select(large, T(-1.0), select(middle, a - T(1.0), a));
    const T bottom = select(large, a, select(middle, a + T(1.0), T(1.0)));
    const T base = select(large, T(1.57079632679489661923), select(middle, T(0.78539816339744830962), T(0.0)));
    const T rest =
        select(large, T(6.123233995736765886130e-17), select(middle, T(3.061616997868382943065e-17), T(0.0)));
    const T r = top / bottom;
    const T z = r * r;
    const T p =
        ((((T(-8.750608600031904122785e-1) * z + T(-1.615753718733365076637e1)) * z + T(-7.500855792314704667340e1)) *
              z +
          T(-1.228866684490136173410e2)) *
             z +
         T(-6.485021904942025371773e1)) *
        z;
    const T q =
        ((((z + T(2.485846490142306297962e1)) * z + T(1.650270098316988542046e2)) * z + T(4.328810604912902668951e2)) *
             z +
         T(4.853903996359136964868e2)) *
            z +
        T(1.945506571482613964425e2);
    return with_sign_of(base + (r * (p / q) + r + rest), x);
}

inline double atan(double x) { return rational_atan<void>(x); }

template <class Tag>
Pack<Tag> atan(const Pack<Tag>& x) {
    return rational_atan<Tag>(x);
}

template <class Block, std::size_t N, class Tag>
Dual<Block, N, Tag> atan(const Dual<Block, N, Tag>& x) {
    using D = Dual<Block, N, Tag>;
    const auto slope = 1.0 / (1.0 + x.v * x.v);
    if constexpr (D::nested)
        return D::chain(atan(x.v), x, slope);
    else
        return D::chain(D::spread(rational_atan<Tag>(x.value())), x, slope);
}

}  // namespace shimwise
