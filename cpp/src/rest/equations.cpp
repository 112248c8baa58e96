// The one unit that takes the matrix of rest apart.
#include <Eigen/LU>

#include "rest/system.hpp"

namespace shimwise::rest_system {

Vector solve(const Matrix& matrix, const Vector& right) { return matrix.partialPivLu().solve(right); }

NewtonStep newton_step(const System& s) {
    const Eigen::PartialPivLU<Matrix> lu(s.matrix);
    return {lu.solve(-s.residual), lu.determinant() > 0.0};
}

Eigen::Matrix<double, unknowns, Eigen::Dynamic> solve_all(
    const Matrix& matrix, const Eigen::Matrix<double, unknowns, Eigen::Dynamic>& right) {
    return matrix.partialPivLu().solve(right);
}

}  // namespace shimwise::rest_system
