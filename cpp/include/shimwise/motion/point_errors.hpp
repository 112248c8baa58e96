// What an error in a measured point does to the effects that are predicted.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/motion/hold.hpp"

namespace shimwise {

struct ToeAndCamber {
    double toe_deg = 0.0;
    double camber_deg = 0.0;
};

/// One coordinate of a point: by how much a predicted change goes wrong.
struct PointError {
    Point point = Point::wheel_centre;
    std::size_t axis = 0;                    // x, y, z
    std::vector<ToeAndCamber> of_adjusters;  // of one turn of a thread, of one mm of a pack, in the corner's order
    ToeAndCamber of_bump;                    // of the wheel's travel from its drawn height to `bump_mm`
};

/// Every coordinate of every point of the corner in turn. The point moves as drawn (the file's point is wrong, and the
/// lengths follow from it); given is half the difference between +error_mm and -error_mm. Throws InputError where a
/// moved drawing is one that `check` refuses, OutOfReach where it does not assemble.
std::vector<PointError> point_errors(const Car& car, CornerId corner, Held held = Held::contact, double error_mm = 1.0,
                                     double bump_mm = 20.0);

}  // namespace shimwise
