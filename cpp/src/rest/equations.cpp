// The one unit that takes the matrix of rest apart.
#include <Eigen/LU>
#include <cmath>

#include "rest/system.hpp"

namespace shimwise::rest_system {

Vector solve(const Matrix& matrix, const Vector& right) { return matrix.partialPivLu().solve(right); }

namespace {

using Chassis = Eigen::Matrix4d;
using Eigen::Vector4d;

constexpr double least_rise_mm = 1.0;  // of a contact by its half tangent: below it pivoting is needed

/// Whether every wheel stands rigid on its pad by itself.
bool follows_the_chassis(const System& s) {
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Index t = of(half_tan, c), load_row = of(load, c), stop = of(pull, c);
        if (s.matrix(load_row, load_row) != 0.0 || s.matrix(stop, stop) != 1.0 ||
            !(std::fabs(s.matrix(load_row, t)) > least_rise_mm))
            return false;
    }
    return true;
}

/// The half tangents follow the chassis so that every contact stays on its pad, t = follow p + t0; their rows give the
/// loads, and what is left is symmetric in the chassis' four.
NewtonStep by_chassis(const System& s) {
    const auto part = [&](Index row, Index column) { return s.matrix.block<4, 4>(row, column); };
    const Vector4d by_rise = s.matrix.block<4, 4>(load, half_tan).diagonal().cwiseInverse();
    const Chassis follow = -(by_rise.asDiagonal() * part(load, height));
    const Vector4d t0 = -by_rise.cwiseProduct(s.residual.segment<4>(load));
    const Chassis bent = part(half_tan, height) + part(half_tan, half_tan) * follow;  // of the half tangents' rows
    const Vector4d bent0 = s.residual.segment<4>(half_tan) + part(half_tan, half_tan) * t0;
    const Chassis left = part(height, height) + part(height, half_tan) * follow + follow.transpose() * bent;
    const Vector4d right = s.residual.segment<4>(height) + part(height, half_tan) * t0 + follow.transpose() * bent0;
    const Eigen::PartialPivLU<Chassis> lu(left);
    const Vector4d chassis = lu.solve(-right);
    Vector step = Vector::Zero();
    step.segment<4>(height) = chassis;
    step.segment<4>(half_tan) = follow * chassis + t0;
    step.segment<4>(load) = -by_rise.cwiseProduct(bent * chassis + bent0);
    return {step, lu.determinant() > 0.0};
}

}  // namespace

NewtonStep newton_step(const System& s) {
    if (follows_the_chassis(s)) return by_chassis(s);
    const Eigen::PartialPivLU<Matrix> lu(s.matrix);
    return {lu.solve(-s.residual), lu.determinant() > 0.0};
}

Eigen::Matrix<double, unknowns, Eigen::Dynamic> solve_all(
    const Matrix& matrix, const Eigen::Matrix<double, unknowns, Eigen::Dynamic>& right) {
    return matrix.partialPivLu().solve(right);
}

}  // namespace shimwise::rest_system
