// Central differences for the tests of motion.
#pragma once

#include <cstddef>

namespace corners {

/// Rate of every element of f(x) at x = 0 from -2h, -h, h, 2h: Richardson's extrapolation of central differences, error
/// of order h^4.
template <class Function>
auto by_differences(double h, const Function& f) {
    const auto a = f(-2.0 * h), b = f(-h), c = f(h), d = f(2.0 * h);
    auto rate = a;
    for (std::size_t o = 0; o < rate.size(); ++o) rate[o] = (8.0 * (c[o] - b[o]) - (d[o] - a[o])) / (12.0 * h);
    return rate;
}

}  // namespace corners
