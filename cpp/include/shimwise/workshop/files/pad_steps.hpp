// Pads that were read as differences along a straightedge from one pad to another.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "shimwise/model/names.hpp"

namespace shimwise {

/// How much higher one pad lies than another.
struct PadStep {
    CornerId from = CornerId::front_left, to = CornerId::front_right;
    double up_mm = 0.0;  // of `to` over `from`
};

/// Pads that no chain of steps ties to the front left one, in order.
std::vector<CornerId> pads_not_reached(const std::vector<PadStep>& steps);

/// The pads' heights about their mean by the steps: rows are corners, columns steps. Least squares with equal weights
/// where steps are more than three. Precondition: all pads are reached, otherwise std::invalid_argument.
Eigen::MatrixXd pads_by_steps(const std::vector<PadStep>& steps);

/// A way round over steps that leads back to where it began: without errors its steps sum to 0.
struct PadLoop {
    std::vector<CornerId> pads;  // in the order of the way
    Eigen::VectorXd by_steps;    // +1 or -1 where a step is walked, forwards or backwards
};

/// One for each step beyond those that tie the pads together, in their order.
std::vector<PadLoop> pad_loops(const std::vector<PadStep>& steps);

}  // namespace shimwise
