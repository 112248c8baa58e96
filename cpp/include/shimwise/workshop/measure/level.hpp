// How the place lies: the best plane of the four pads, and what they are off it.
#pragma once

#include <array>
#include <vector>

#include "shimwise/workshop/measure/sheet_findings.hpp"

namespace shimwise {

/// A way round over steps along a straightedge, and by how much it fails to close.
struct PadClosure {
    std::vector<CornerId> pads;
    Finding off_mm;
    bool closes = true;  // within twice its uncertainty; common practice, no source
};

struct Level {
    std::array<double, corner_count> pads_mm{};  // about their mean
    Finding fore_aft_mm_per_m;                   // tilt of the best plane, + = higher at the front
    Finding across_mm_per_m;                     // + = higher at the left
    /// What the pads are off their best plane, front left and rear right less the other two (+ - - +): on a rectangle
    /// how far one wheel is off its pad once the other three stand on theirs.
    Finding twist_mm;
    std::array<double, corner_count> off_plane_mm{};
    Eigen::Matrix3d covariance;                      // of the two tilts and the twist, in this order
    Eigen::Matrix<double, 3, corner_count> by_pads;  // their derivatives by the heights of the pads, per mm
    std::vector<PadClosure> closures;
};

/// How pads follow from what was read of them: rows are corners, columns the inputs "pad...." in their order.
/// Precondition: the pads were read.
Eigen::MatrixXd pads_by_inputs(const Readings& readings);

/// Covariance of the four pads' heights.
Eigen::Matrix4d pads_covariance(const Measured& measured);

/// Of steps that are more than needed.
std::vector<PadClosure> pad_closures(const Measured& measured);

/// Least squares of heights along plumb at the places where the wheels stand, equal weights; uncertainty by the law of
/// propagation from every reading of the pads. Throws InputError where the pads were not read, OutOfReach where the car
/// cannot stand on the ground that was measured.
Level level(const Measured& measured, const Car& car);

}  // namespace shimwise
