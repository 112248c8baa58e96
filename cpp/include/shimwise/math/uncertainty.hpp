// Values with their covariance, by the Guide to the expression of uncertainty in measurement (GUM, JCGM 100:2008).
#pragma once

#include <Eigen/Core>
#include <functional>

namespace shimwise {

/// A vector of values and the covariance of their errors.
struct Uncertain {
    Eigen::VectorXd value;
    Eigen::MatrixXd covariance;

    /// Standard uncertainties: roots of the diagonal.
    Eigen::VectorXd standard() const;
    /// Correlation coefficients; 0 next to a value without uncertainty, 1 on the diagonal.
    Eigen::MatrixXd correlation() const;
};

using VectorFunction = std::function<Eigen::VectorXd(const Eigen::VectorXd&)>;

/// df/dx by central differences over +-step_i and +-step_i/2, extrapolated: off by the fourth power of the step.
/// A column whose step is 0 is 0. Throws std::domain_error where the function is not finite.
Eigen::MatrixXd jacobian(const VectorFunction& function, const Eigen::VectorXd& x, const Eigen::VectorXd& step);

/// J V J': the covariance V carried on by the derivatives J.
Eigen::MatrixXd carried(const Eigen::MatrixXd& J, const Eigen::MatrixXd& V);

/// f(x) and J V J': the law of propagation (GUM 5.2.2, in matrices JCGM 102 6.2.1), J over the standard uncertainties
/// as in GUM 5.1.3 note 2, extrapolated.
Uncertain propagate(const VectorFunction& function, const Uncertain& x);

/// Mean of quantities observed together n times and the covariance of that mean, sum (q - mean)(q - mean)' / n(n - 1)
/// (GUM 4.2.3, 5.2.3). Rows: observations, at least two.
Uncertain mean_of(const Eigen::MatrixXd& observations);

}  // namespace shimwise
