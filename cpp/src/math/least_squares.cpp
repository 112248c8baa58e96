#include "shimwise/math/least_squares.hpp"

#include <stdexcept>

#include "math/decompositions.hpp"

namespace shimwise {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

double LinearFit::variance() const {
    if (degrees_of_freedom <= 0) throw std::invalid_argument("linear fit: no observation is left to show the scatter");
    return chi_square / degrees_of_freedom;
}

LinearFit linear_fit(const MatrixXd& A, const VectorXd& b, const VectorXd& weights) {
    if (A.rows() != b.size() || weights.size() != b.size() || A.cols() == 0)
        throw std::invalid_argument("linear fit: matrix, observations and weights do not fit together");
    if (!A.allFinite() || !b.allFinite() || !weights.allFinite() || !(weights.array() > 0.0).all())
        throw std::invalid_argument("linear fit: needs finite numbers and weights above 0");
    const VectorXd root = weights.cwiseSqrt();
    const MatrixXd weighted = root.asDiagonal() * A;
    const VectorXd norms = weighted.colwise().norm();
    const bool none_zero = norms.minCoeff() > 0.0;
    // Unit columns: the rank test then does not depend on their units.
    const VectorXd scale = none_zero ? VectorXd(norms.cwiseInverse()) : VectorXd::Ones(norms.size());
    const LeastSquares found = least_squares(weighted * scale.asDiagonal(), root.cwiseProduct(b));
    if (!none_zero || found.rank < A.cols())
        throw std::invalid_argument("linear fit: the columns depend on each other");

    LinearFit fit;
    fit.x = scale.cwiseProduct(found.x);
    const MatrixXd inverse = scale.asDiagonal() * found.inverse;
    fit.cofactor = inverse.lazyProduct(inverse.transpose());
    fit.residual = b - A * fit.x;
    fit.chi_square = root.cwiseProduct(fit.residual).squaredNorm();
    fit.degrees_of_freedom = static_cast<int>(A.rows() - A.cols());
    return fit;
}

LinearFit linear_fit(const MatrixXd& A, const VectorXd& b) { return linear_fit(A, b, VectorXd::Ones(b.size())); }

Plane best_plane(const std::vector<Vec3<double>>& points) {
    const auto n = static_cast<Index>(points.size());
    if (n < 3) throw std::invalid_argument("best plane: needs three points or more");
    MatrixXd A(n, 3);
    VectorXd z(n);
    for (Index i = 0; i < n; ++i) {
        const Vec3<double>& p = points[static_cast<std::size_t>(i)];
        A.row(i) << p.x, p.y, 1.0;
        z(i) = p.z;
    }
    // About the middle of the points, where the plane's height and its slopes do not mix.
    const Eigen::RowVector2d middle = A.leftCols(2).colwise().mean();
    A.leftCols(2).rowwise() -= middle;
    const LinearFit fit = linear_fit(A, z);
    Plane plane;
    plane.a = fit.x(0);
    plane.b = fit.x(1);
    plane.c = fit.x(2) - fit.x(0) * middle(0) - fit.x(1) * middle(1);
    plane.residual.assign(fit.residual.begin(), fit.residual.end());
    return plane;
}

}  // namespace shimwise
