// Weighted linear least squares, and the plane that fits points best.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "shimwise/math/vec3.hpp"

namespace shimwise {

struct LinearFit {
    Eigen::VectorXd x;
    Eigen::MatrixXd cofactor;    // (A' W A)^-1: the covariance of x where weights are 1/u^2
    Eigen::VectorXd residual;    // b - A x
    double chi_square = 0.0;     // residual' W residual
    int degrees_of_freedom = 0;  // rows less columns

    /// Variance of an observation of weight 1 as its residuals show it: chi_square over degrees_of_freedom; times
    /// `cofactor` it is the covariance of x where weights are only relative. Precondition: degrees_of_freedom > 0.
    double variance() const;
};

/// Minimises (b - A x)' W (b - A x), W diagonal, by QR of the scaled rows. Precondition: weights > 0 and independent
/// columns, otherwise std::invalid_argument.
LinearFit linear_fit(const Eigen::MatrixXd& A, const Eigen::VectorXd& b, const Eigen::VectorXd& weights);

/// The same with equal weights of 1.
LinearFit linear_fit(const Eigen::MatrixXd& A, const Eigen::VectorXd& b);

/// z = a x + b y + c.
struct Plane {
    double a = 0.0;
    double b = 0.0;
    double c = 0.0;
    std::vector<double> residual;  // z of a point less z of the plane there

    double z(double x, double y) const { return a * x + b * y + c; }
};

/// Least squares of the points' z, equal weights. Precondition: seen along z the points are not on one line, otherwise
/// std::invalid_argument.
Plane best_plane(const std::vector<Vec3<double>>& points);

}  // namespace shimwise
