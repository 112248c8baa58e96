// The chance that correlated normal values all lie within their limits.
#pragma once

#include <Eigen/Core>

namespace shimwise {

/// A probability and a bound of its numerical error.
struct BoxProbability {
    double value = 0.0;  // 0 to 1
    double error = 0.0;
};

/// Probability that normal values lie within limits, all at the same time. The covariance may be singular; a value of
/// variance 0 is certain; limits may be infinite. No values at all lie within with certainty.
/// Values that do not correlate are independent: the covariance falls into blocks whose chances multiply. A block is
/// written as a few independent standard normals (pivoted Cholesky). One of them: the error function, error 1e-15. Two:
/// Gauss-Legendre between the bends, at most 1e-10. More: the transformation of Genz (J. Comp. Graph. Stat. 1 (1992)
/// 141) on a lattice with fixed shifts, so that the digits repeat, three standard errors; refined to `accuracy` as far
/// as 2 million points reach.
/// Throws std::invalid_argument where sizes do not fit, a number is NaN, a lower limit is above its upper one, or the
/// covariance is not symmetric or has a negative variance in some direction.
BoxProbability probability_in_box(const Eigen::VectorXd& mean, const Eigen::MatrixXd& covariance,
                                  const Eigen::VectorXd& lower, const Eigen::VectorXd& upper, double accuracy = 1e-4);

}  // namespace shimwise
