// A table of points, as a drawing office or a measuring arm gives it: what its rows owe each other.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/error.hpp"
#include "shimwise/math/vec3.hpp"
#include "shimwise/model/names.hpp"

namespace shimwise {

/// What a row may be of: every point, and where the rocker's axis points.
inline constexpr std::string_view axis_direction_name = "rocker.axis_direction";
std::vector<std::string> table_point_names();

/// Rows that a spring on a rocker needs, and those that a spring without one needs.
inline constexpr std::array<std::string_view, 6> rocker_rows = {
    "pushrod.outer", "pushrod.inner", "rocker.axis_point", axis_direction_name, "rocker.spring", "spring.chassis"};
inline constexpr std::array<std::string_view, 2> direct_spring_rows = {"spring.outer", "spring.chassis"};

/// A row that names a corner and one of `table_point_names`; without a place where its numbers are none.
struct PointRow {
    int line = 0;
    CornerId corner = CornerId::front_left;
    std::string point;
    std::optional<Vec3<double>> at_mm;
};

/// What is wrong with the rows together, by their lines: a row that stands twice, numbers in another unit, sides and
/// axles the wrong way round, parts that are not whole, a right side without its left one. `all_named` is false where
/// the file has rows that could not be told, so that nothing can be called missing.
std::vector<Problem> point_table_problems(const std::string& file, const std::vector<PointRow>& rows, bool all_named);

}  // namespace shimwise
