// A rigid motion of a whole drawing.
#pragma once

#include <cmath>

#include "shimwise/math/vec3.hpp"

/// A turn about a unit axis by Rodrigues' formula, then a shift.
struct RigidMotion {
    shimwise::Vec3<double> axis{0.0, 0.0, 1.0};
    double angle_rad = 0.0;
    shimwise::Vec3<double> shift;

    shimwise::Vec3<double> turn(const shimwise::Vec3<double>& v) const {
        return v * std::cos(angle_rad) + cross(axis, v) * std::sin(angle_rad) +
               axis * (dot(axis, v) * (1.0 - std::cos(angle_rad)));
    }
    shimwise::Vec3<double> operator()(const shimwise::Vec3<double>& p) const { return turn(p) + shift; }
};
