// The physical sense of a car: what a file may say and a real car cannot be.
#pragma once

#include <string>
#include <vector>

#include "shimwise/error.hpp"
#include "shimwise/model/car.hpp"

namespace shimwise {

/// Everything about the car as drawn and as it stands that no real car could be. `load_car` adds the lines.
std::vector<Problem> check(const Car& car);

/// Of what `check` finds that which moved points can cause: those of these corners. Precondition: it found nothing
/// before.
std::vector<Problem> check_points(const Car& car, const std::array<bool, corner_count>& corners);

/// The lowest point of the setup wheel's rim as drawn, up being the chassis' z; where the disc has a width, of its
/// lower edge, or within tolerances::upright_deg of upright of its middle.
Vec3<double> drawn_contact(const Corner& corner);

/// `front_left.adjuster "track rod"`: how problems name an adjuster.
std::string adjuster_field(CornerId id, const std::string& name);

}  // namespace shimwise
