// A corner on its tyre whose spring, helper and bump rubber all work.
#pragma once

#include "motion/corners.hpp"

namespace corners {

inline Corner sprung(const Kind& kind, int seed) {
    Corner c = corner(kind, seed);
    c.tyre = Tyre{.loaded_radius_mm = 250.0, .rate_N_per_mm = {}};
    c.spring.rate_N_per_mm = 90.0;
    c.spring.load_at_drawn_N = 1100.0;
    c.helper = Helper{.rate_N_per_mm = 40.0, .closes_at_mm = 30.0};
    c.bump_rubber = BumpRubber{.gap_mm = 3.0, .force_N_at_mm = {{0.0, 0.0}, {2.0, 100.0}, {8.0, 1100.0}}};
    return c;
}

}  // namespace corners
