// Corners that draw on one box of shims: the best choice that the shims make everywhere at once.
#pragma once

#include <functional>
#include <map>

#include "workshop/choose/search.hpp"

namespace shimwise {

/// Sums of two keys, compared in order.
struct Key {
    double first = 0.0;
    double second = 0.0;
    auto operator<=>(const Key&) const = default;
    Key operator+(const Key& other) const { return {first + other.first, second + other.second}; }
};

/// The packs of every shared stack of some corners for chosen options, and the minutes of stacks that are only
/// repacked.
struct Packs {
    std::array<std::map<std::size_t, StackChoice>, corner_count> by_unknown;
    std::array<double, corner_count> repack_minutes{};
};

/// An option for each corner of a group.
using Picks = std::vector<const Option*>;

/// Exact: nothing where the shims of some box do not make all stacks that draw on it.
std::optional<Packs> pack(const Car& car, const std::vector<const CornerProblem*>& corners, const Picks& picks);

struct Together {
    Picks picks;
    Packs packs;
};

/// Best first over the options of a group, `key` per option (nothing: not to be picked) until the shims make it;
/// `counts_repacking`: minutes of repacked stacks are part of the first key. Exact: keys only grow.
std::optional<Together> best_together(const Car& car, const std::vector<const CornerProblem*>& corners,
                                      const std::vector<const CornerSearch*>& searches,
                                      const std::function<std::optional<Key>(std::size_t, const Option&)>& key,
                                      bool counts_repacking);

/// Corners joined by shared boxes, each group ascending; corners that share nothing are alone.
std::vector<std::vector<std::size_t>> groups_of(const CornerProblems& problems);

}  // namespace shimwise
