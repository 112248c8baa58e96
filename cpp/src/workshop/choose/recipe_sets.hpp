// Sets of adjusters in order of the minutes that they take.
#pragma once

#include <cstddef>
#include <vector>

namespace shimwise {

using AdjusterSet = std::vector<std::size_t>;

struct WorkSet {
    AdjusterSet adjusters;
    double minutes = 0.0;
};

/// Minutes less than this apart are the same.
inline constexpr double same_minutes = 1e-9;

/// Every set of the usable adjusters with at most `most` that take minutes; what takes none is in every set. `minutes`:
/// of every adjuster.
std::vector<WorkSet> sets_by_minutes(const AdjusterSet& usable, const std::vector<double>& minutes, std::size_t most);

/// How many these are.
double count_of_sets(const AdjusterSet& usable, const std::vector<double>& minutes, std::size_t most);

}  // namespace shimwise
