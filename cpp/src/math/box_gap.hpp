// How far the outputs that a box of unknowns can make stay from their windows, at least.
#pragma once

#include <Eigen/Core>

namespace shimwise {

struct Windows {
    Eigen::MatrixXd A;
    Eigen::VectorXd low, high;  // of A x; may be infinite
};

struct Box {
    Eigen::VectorXd lower, upper;
};

struct BoxGap {
    double distance = 0.0;      // from all A x of the box to the windows: a true lower bound
    Eigen::VectorXd direction;  // of unit length, along which it is seen; empty where the distance is 0
};

/// Descent from `x`, coordinate by coordinate, on the squared distance; x becomes the nearest found. Whatever x is, the
/// bound holds: along y = A x - nearest point of the windows, the box reaches min y'A x, the windows max y'w.
/// Ends as soon as the bound is above `enough`.
BoxGap box_gap(const Windows& windows, const Box& box, double enough, Eigen::VectorXd& x);

/// Whether no x of the box brings every output into its window by more than `enough`, proven: seen from the nearest
/// point in real numbers, by an active set. false: there may be one.
bool out_of_reach(const Windows& windows, const Box& box, double enough);

}  // namespace shimwise
