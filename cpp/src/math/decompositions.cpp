#include "math/decompositions.hpp"

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <Eigen/QR>
#include <Eigen/SVD>

namespace shimwise {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

Eigen::Vector3d solve_square(const Eigen::Matrix3d& A, const Eigen::Vector3d& b) { return A.partialPivLu().solve(b); }
Eigen::MatrixXd solve_square(const Eigen::Matrix3d& A, const Eigen::MatrixXd& B) { return A.partialPivLu().solve(B); }
Eigen::Vector4d solve_square(const Eigen::Matrix4d& A, const Eigen::Vector4d& b) { return A.partialPivLu().solve(b); }
Eigen::Matrix<double, 6, 1> solve_square(const Eigen::Matrix<double, 6, 6>& A, const Eigen::Matrix<double, 6, 1>& b) {
    return A.partialPivLu().solve(b);
}

std::optional<MatrixXd> cholesky(const MatrixXd& A) {
    const Eigen::LLT<MatrixXd> llt(A);
    if (llt.info() != Eigen::Success || !A.allFinite()) return std::nullopt;
    return llt.matrixL();
}

MatrixXd solve_lower(const MatrixXd& L, const MatrixXd& B) {
    if (B.size() == 0) return B;  // of which Eigen refers to an element
    return L.triangularView<Eigen::Lower>().solve(B);
}

Triangle triangle(const MatrixXd& A, const VectorXd& b) {
    const Index n = A.cols();
    const Eigen::HouseholderQR<MatrixXd> qr(A);
    const VectorXd rotated = qr.householderQ().adjoint() * b;
    return {qr.matrixQR().topRows(n).triangularView<Eigen::Upper>(), rotated.head(n),
            rotated.tail(rotated.size() - n).squaredNorm()};
}

MatrixXd solve_upper(const MatrixXd& R, const MatrixXd& B) { return R.triangularView<Eigen::Upper>().solve(B); }

LeastSquares least_squares(const MatrixXd& A, const VectorXd& b) {
    const Index n = A.cols();
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(A);
    LeastSquares found;
    found.rank = qr.rank();
    if (found.rank < n) return found;
    found.x = qr.solve(b);
    found.inverse = qr.colsPermutation() * solve_upper(qr.matrixR().topRows(n), MatrixXd::Identity(n, n));
    return found;
}

VectorXd shortest(const MatrixXd& A, const VectorXd& b, double threshold) {
    Eigen::CompleteOrthogonalDecomposition<MatrixXd> decomposition;
    decomposition.setThreshold(threshold);
    decomposition.compute(A);
    return decomposition.solve(b);
}

Gain solve_with_least_gain(const MatrixXd& A, const VectorXd& b) {
    const Eigen::JacobiSVD<MatrixXd> svd(A, Eigen::ComputeFullU | Eigen::ComputeFullV);
    const Index last = A.cols() - 1;
    return {svd.solve(b), svd.singularValues()(last), svd.matrixV().col(last)};
}

}  // namespace shimwise
