// What turns are counted in, and what + and - of an adjuster are called: a card writes these words, a person types
// them.
#pragma once

#include <array>
#include <string_view>

#include "shimwise/model/adjuster.hpp"
#include "shimwise/units.hpp"

namespace shimwise {

/// In the plural with an s.
struct TurnUnit {
    std::string_view name;
    double turns = 0.0;
};

namespace turn_unit {
inline constexpr TurnUnit turn = {"turn", 1.0};
inline constexpr TurnUnit half_turn = {"half turn", 0.5};
inline constexpr TurnUnit quarter_turn = {"quarter turn", 0.25};
inline constexpr TurnUnit flat = {"flat", 1.0 / flats_per_turn};
inline constexpr TurnUnit half_flat = {"half flat", 1.0 / (2.0 * flats_per_turn)};
inline constexpr TurnUnit quarter_flat = {"quarter flat", 1.0 / (4.0 * flats_per_turn)};
inline constexpr std::array all = {turn, half_turn, quarter_turn, flat, half_flat, quarter_flat};
}  // namespace turn_unit

struct Ways {
    std::string_view up, down;
};
inline constexpr Ways pack_ways = {"thicker", "thinner"};
/// Of + turns and of - turns. Same-hand ends whose outer thread is the coarser one come closer by + turns.
inline Ways thread_ways(const Adjuster& adjuster) {
    if (adjuster.length() == Length::spring_platform) return {"toward the spring", "away from the spring"};
    if (adjuster.thread()->lead_mm() < 0.0) return {"shorter", "longer"};
    return {"longer", "shorter"};
}

}  // namespace shimwise
