// A corner as set: its drawing and the amount of every adjuster.
#pragma once

#include <vector>

#include "shimwise/motion/parts.hpp"

namespace shimwise {

/// A corner as set: its geometry, the amount of every adjuster and the rack's travel.
struct Setup {
    Geometry geometry;
    std::vector<double> amounts_mm;
    double rack_mm = 0.0;

    Parts<double> parts() const { return shimwise::parts(geometry, amounts_mm.data(), rack_mm); }
};
Setup setup(const Corner& corner, double rack_mm = 0.0);

}  // namespace shimwise
