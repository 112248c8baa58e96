// A point that moves, in one of two ways.
#pragma once

#include <array>
#include <map>
#include <string>
#include <vector>

#include "shimwise/model/car.hpp"

namespace shimwise {

/// `drawn`: the design moves, and rod lengths follow. `built`: the part is where it is, in the drawn frame of the body
/// that carries it, and rods keep their lengths.
enum class Moved { drawn, built };
inline constexpr std::array<std::string_view, 2> moved_names = {"drawn", "built"};

struct PointMove {
    CornerId corner = CornerId::front_left;
    Point point = Point::wheel_centre;
    Vec3<double> by_mm;
};

/// The car with points moved, each from where it is. Throws InputError where a corner lacks a point, or the moved
/// drawing is one that `check` refuses.
Car with_points_moved(Car car, const std::vector<PointMove>& moves, Moved as);

/// The same by keys such as "front_left.track_rod.inner".
Car with_points_moved(Car car, const std::map<std::string, std::array<double, 3>>& by_mm, Moved as);

}  // namespace shimwise
