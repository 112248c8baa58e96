// Eigen's decompositions behind plain functions: each is compiled once, where everyone who asked for it spent seconds.
#pragma once

#include <Eigen/Core>
#include <optional>

namespace shimwise {

/// x of A x = b for a square A, by LU with partial pivoting. Singular: not finite.
Eigen::Vector3d solve_square(const Eigen::Matrix3d& A, const Eigen::Vector3d& b);
Eigen::MatrixXd solve_square(const Eigen::Matrix3d& A, const Eigen::MatrixXd& B);
Eigen::Vector4d solve_square(const Eigen::Matrix4d& A, const Eigen::Vector4d& b);
Eigen::Matrix<double, 6, 1> solve_square(const Eigen::Matrix<double, 6, 6>& A, const Eigen::Matrix<double, 6, 1>& b);

/// L of A = L L', lower triangular; nothing where the symmetric A is not positive definite in the digits there are.
std::optional<Eigen::MatrixXd> cholesky(const Eigen::MatrixXd& A);

/// X of L X = B for a lower triangular L.
Eigen::MatrixXd solve_lower(const Eigen::MatrixXd& L, const Eigen::MatrixXd& B);

/// |A x - b|^2 = |R x - y|^2 + rest, R upper triangular (Householder). Precondition: at least as many rows as columns.
struct Triangle {
    Eigen::MatrixXd R;
    Eigen::VectorXd y;
    double rest = 0.0;
};
Triangle triangle(const Eigen::MatrixXd& A, const Eigen::VectorXd& b);

/// X of R X = B for an upper triangular R.
Eigen::MatrixXd solve_upper(const Eigen::MatrixXd& R, const Eigen::MatrixXd& B);

/// The x of least |A x - b| and (A' A)^-1 = inverse inverse', by QR with pivoted columns. Dependent columns: nothing
/// but the rank.
struct LeastSquares {
    Eigen::Index rank = 0;
    Eigen::VectorXd x;
    Eigen::MatrixXd inverse;
};
LeastSquares least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b);

/// The shortest x of those with least |A x - b|; singular values below `threshold` of the largest count as none.
Eigen::VectorXd shortest(const Eigen::MatrixXd& A, const Eigen::VectorXd& b, double threshold);

/// x of A x = b for a square A, with the least that A makes of a unit vector, and that vector: by singular values.
struct Gain {
    Eigen::VectorXd x;
    double least = 0.0;
    Eigen::VectorXd direction;
};
Gain solve_with_least_gain(const Eigen::MatrixXd& A, const Eigen::VectorXd& b);

}  // namespace shimwise
