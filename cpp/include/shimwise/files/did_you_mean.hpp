// The name that was probably meant by a misspelt one.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace shimwise {

/// Letters to insert, delete, replace or swap with their neighbour (restricted Damerau-Levenshtein distance).
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The candidate nearest to `name`, at most a third of its letters (at least one) away; otherwise empty.
std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates);

/// `; did you mean "track_rod"?`, or, where none is near, `; known are a, b`; empty where there is no candidate or the
/// list is too long to help.
std::string did_you_mean(std::string_view name, const std::vector<std::string>& candidates);

}  // namespace shimwise
