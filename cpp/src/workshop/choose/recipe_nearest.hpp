// Amounts that can be set, nearest to exact ones, all of a set together.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "shimwise/workshop/choose/allowed.hpp"

namespace shimwise {

/// Of each adjuster's settings, given nearest first, those with the least sum of squared `off_steps` that `accepted`
/// takes together (one amount in mm for each); nothing where it takes none. Exact: best first, and sums only grow.
std::optional<std::vector<double>> nearest_together(const std::vector<std::vector<NearSetting>>& settings,
                                                    const std::function<bool(const std::vector<double>&)>& accepted);

}  // namespace shimwise
