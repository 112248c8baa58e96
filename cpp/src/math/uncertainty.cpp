#include "shimwise/math/uncertainty.hpp"

#include <cmath>
#include <stdexcept>

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

VectorXd finite(const VectorFunction& function, const VectorXd& x) {
    VectorXd value = function(x);
    if (!value.allFinite()) throw std::domain_error("a function of uncertain values is not finite within their spread");
    return value;
}

}  // namespace

VectorXd Uncertain::standard() const { return covariance.diagonal().cwiseSqrt(); }

MatrixXd Uncertain::correlation() const {
    const VectorXd u = standard();
    MatrixXd r = MatrixXd::Identity(u.size(), u.size());
    for (Index i = 0; i < u.size(); ++i)
        for (Index j = 0; j < u.size(); ++j)
            if (i != j) r(i, j) = u(i) > 0.0 && u(j) > 0.0 ? covariance(i, j) / (u(i) * u(j)) : 0.0;
    return r;
}

MatrixXd jacobian(const VectorFunction& function, const VectorXd& x, const VectorXd& step) {
    if (step.size() != x.size()) throw std::invalid_argument("jacobian: one step for each value");
    MatrixXd J = MatrixXd::Zero(finite(function, x).size(), x.size());
    const auto slope = [&](Index i, double h) -> VectorXd {
        VectorXd up = x, down = x;
        up(i) += h;
        down(i) -= h;
        return (finite(function, up) - finite(function, down)) / (up(i) - down(i));
    };
    for (Index i = 0; i < x.size(); ++i)
        if (step(i) != 0.0) J.col(i) = (4.0 * slope(i, 0.5 * step(i)) - slope(i, step(i))) / 3.0;
    return J;
}

MatrixXd carried(const MatrixXd& J, const MatrixXd& V) { return MatrixXd(J.lazyProduct(V)).lazyProduct(J.transpose()); }

Uncertain propagate(const VectorFunction& function, const Uncertain& x) {
    if (x.covariance.rows() != x.value.size() || x.covariance.cols() != x.value.size())
        throw std::invalid_argument("propagate: the covariance does not fit the values");
    if (!(x.covariance.diagonal().array() >= 0.0).all() || !x.covariance.allFinite())
        throw std::invalid_argument("propagate: a variance is negative or not a finite number");
    const MatrixXd J = jacobian(function, x.value, x.standard());
    return {finite(function, x.value), carried(J, x.covariance)};
}

Uncertain mean_of(const MatrixXd& observations) {
    const auto n = static_cast<double>(observations.rows());
    if (!(n >= 2.0)) throw std::invalid_argument("mean_of: needs two observations or more");
    Uncertain mean;
    mean.value = observations.colwise().mean();
    const MatrixXd off = observations.rowwise() - mean.value.transpose();
    mean.covariance = off.transpose().lazyProduct(off) / (n * (n - 1.0));
    return mean;
}

}  // namespace shimwise
