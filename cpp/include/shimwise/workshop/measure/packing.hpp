// Which pads to pack with what of the packing at hand, so that the place lies level.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "shimwise/workshop/measure/level.hpp"

namespace shimwise {

/// How far off level a place may lie. Common practice, no source.
struct LevelTolerance {
    double tilt_mm_per_m = 0.5;  // either way
    double twist_mm = 0.5;
};

struct Packing {
    std::array<std::vector<double>, corner_count> under_mm;  // what to put under each pad, the thickest first
    std::size_t pieces = 0;
    std::array<double, corner_count> pads_mm{};                             // about their mean, packed so
    double fore_aft_mm_per_m = 0.0, across_mm_per_m = 0.0, twist_mm = 0.0;  // what is left
    double share = 0.0;   // of its tolerance, of the worst of the three
    bool within = false;  // all three inside
    bool proven = true;   // the best there is, not only the best of those that were looked at
    std::uint64_t looked_at = 0;
};

/// Of all ways to put packing at hand under the pads, each piece in one place at most: the fewest pieces that bring
/// both tilts and the twist inside, of these the least packing, then the most level. Where nothing does, the way with
/// the least over the tolerances, summed over the three, that takes none of them out of its tolerance or farther out.
/// Branch and bound over all ways. Throws InputError where a tolerance is not above 0.
Packing best_packing(const Level& level, const std::vector<double>& packing_mm, const LevelTolerance& tolerance);

}  // namespace shimwise
