// In which order a whole-number search chooses the unknowns.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "math/decompositions.hpp"

namespace shimwise {

/// Throws std::invalid_argument where A and b do not fit together or are not finite.
void require_fit(const Eigen::MatrixXd& A, const Eigen::VectorXd& b);

/// Whether no column of A depends on the others, in the digits there are.
bool independent(const Eigen::MatrixXd& A);

/// Throws std::invalid_argument where one does.
void require_independent(const Eigen::MatrixXd& A);

/// |A x - b|^2 = |R x(order) - y|^2 + rest.
struct Ordered {
    std::vector<Eigen::Index> order;
    Triangle triangle;
};

/// Throws as require_independent.
Ordered ordered(const Eigen::MatrixXd& A, const Eigen::VectorXd& b, const Eigen::VectorXd& spacing);

}  // namespace shimwise
