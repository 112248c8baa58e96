// Propagation of distributions by Monte Carlo (JCGM 101:2008): the witness of the law of propagation.
#pragma once

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <utility>
#include <vector>

#include "numpy_legacy.hpp"
#include "shimwise/math/uncertainty.hpp"

/// Mean and covariance of function(x), x normal about `x.value`.
inline shimwise::Uncertain monte_carlo(const shimwise::VectorFunction& function, const shimwise::Uncertain& x,
                                       int trials, unsigned seed) {
    const Eigen::LDLT<Eigen::MatrixXd> ldlt(x.covariance);
    const Eigen::VectorXd root = ldlt.vectorD().cwiseMax(0.0).cwiseSqrt();
    const Eigen::MatrixXd lower = Eigen::MatrixXd(ldlt.matrixL()) * root.asDiagonal();
    const Eigen::MatrixXd L = ldlt.transpositionsP().transpose() * lower;
    NumpyLegacy random(seed);
    Eigen::VectorXd z(x.value.size()), sum;
    Eigen::MatrixXd squares;
    const Eigen::VectorXd origin = function(x.value);
    sum.setZero(origin.size());
    squares.setZero(origin.size(), origin.size());
    for (int trial = 0; trial < trials; ++trial) {
        for (double& value : z) value = random.randn();
        const Eigen::VectorXd off = function(x.value + L * z) - origin;
        sum += off;
        squares += off * off.transpose();
    }
    const Eigen::VectorXd mean = sum / trials;
    return {origin + mean, (squares - trials * mean * mean.transpose()) / (trials - 1)};
}

/// The probabilistically symmetric interval that holds `share` of the samples.
inline std::pair<double, double> interval(std::vector<double> samples, double share) {
    std::sort(samples.begin(), samples.end());
    const auto n = static_cast<double>(samples.size());
    const auto at = [&](double p) { return samples[static_cast<std::size_t>(p * n)]; };
    return {at(0.5 - 0.5 * share), at(0.5 + 0.5 * share)};
}
