// What the solvers over lists of allowed values demand of them.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "shimwise/math/integer_least_squares.hpp"

namespace shimwise {

/// Throws std::invalid_argument where a rule does not hold.
void require(bool holds, const char* rule);

/// One list for each unknown, of finite numbers that ascend.
void require_allowed(const std::vector<AllowedValues>& allowed, Eigen::Index unknowns);

/// The mean distance of neighbours in each list; 0 of a single value.
Eigen::VectorXd mean_spacing(const std::vector<AllowedValues>& allowed);

/// The largest size of each of A x.
Eigen::VectorXd largest_outputs(const Eigen::MatrixXd& A, const std::vector<AllowedValues>& allowed);

}  // namespace shimwise
