// What can be stacked from the shims that are fitted and those in the box.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "shimwise/workshop/stack_choice.hpp"

namespace shimwise {

/// Every total that can be stacked from `fitted_mm` and `box_mm` within the limits (ends included), ascending; an empty
/// stack is the total 0. Totals within 1e-9 mm are one. Precondition: thicknesses above 0. Throws OutOfReach where
/// there are millions of totals: shims measured to the micrometre never make so many.
std::vector<StackChoice> stack_choices(const std::vector<double>& fitted_mm, const std::vector<double>& box_mm,
                                       const std::optional<std::pair<double, double>>& limits_mm);

/// From one list of shims to another: what goes in and what comes out. Precondition: thicknesses above 0.
StackChoice repacked(const std::vector<double>& from_mm, const std::vector<double>& to_mm);

/// Takes shims out of a pool one by one; the first that is missing (those before it are out), or nothing.
std::optional<double> take(std::vector<double>& pool_mm, const std::vector<double>& shims_mm);

/// Stacks that share one box and each other's shims, each with its wanted total at the same time and together with
/// least change; nothing where the shims do not make it. Exact, as long as no total can be made in more than 5,000
/// ways: then those that move the least shims are tried. One list of fitted shims and one total for each stack.
std::optional<std::vector<StackChoice>> stack_together(const std::vector<std::vector<double>>& fitted_of_each_mm,
                                                       const std::vector<double>& box_mm,
                                                       const std::vector<double>& totals_wanted_mm);

}  // namespace shimwise
