// The case that every row solves: a corner as it stands, its track rod turned, and 1,001 held values of one smooth
// sweep.
#pragma once

#include <algorithm>
#include <numeric>
#include <random>
#include <vector>

#include "shimwise/motion/rates.hpp"

namespace bench {

inline constexpr std::size_t state_count = 1001;
inline constexpr double travel_mm = 30.0;
inline constexpr std::size_t track_rod = 0;  // the adjuster of every single sensitivity

struct SweepCase {
    shimwise::Setup setup;
    shimwise::Hold hold;
    std::vector<double> values;    // in rising order
    std::vector<double> shuffled;  // the same in any order

    double low() const { return values.front(); }
    double high() const { return values.back(); }
};

/// Held values that the wheel's travel from -30 to 30 mm spans.
inline SweepCase sweep_case(const shimwise::Setup& setup, shimwise::Held held) {
    SweepCase c{.setup = setup, .hold = {.what = held}, .values = {}, .shuffled = {}};
    const double first = shimwise::present_value(setup, c.hold, -travel_mm);
    const double last = shimwise::present_value(setup, c.hold, travel_mm);
    const double step = (last - first) / (state_count - 1);
    for (std::size_t i = 0; i < state_count; ++i) c.values.push_back(first + static_cast<double>(i) * step);
    std::ranges::sort(c.values);
    c.shuffled = c.values;
    std::ranges::shuffle(c.shuffled, std::mt19937(1));
    return c;
}

}  // namespace bench
