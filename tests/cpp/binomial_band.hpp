// Whether a share that is counted is the share that is claimed.
#pragma once

#include <cmath>

/// Within 3.29 standard deviations of so many draws, where a count lies 99.9 times in a hundred; and half a count.
inline bool in_binomial_band(int counted, int drawn, double share) {
    return std::abs(counted - share * drawn) <= 3.29 * std::sqrt(share * (1.0 - share) * drawn) + 0.5;
}
