// A corner of a car file as text: what `read_corner` reads as the same corner.
#pragma once

#include <string>

#include "shimwise/model/corner.hpp"

namespace shimwise {

/// "[front_left]" and each "[[front_left.adjuster]]".
std::string corner_text(const Corner& corner);

}  // namespace shimwise
