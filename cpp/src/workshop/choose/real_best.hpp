// The best of real settings within limits: what no whole number can do better than.
#pragma once

#include "workshop/choose/whole_problem.hpp"

namespace shimwise {

struct RealBest {
    Eigen::VectorXd x;
    double cost = 0.0;  // a true lower bound of |A x - b|^2
};

/// Of |A x - b|^2 with every x between the ends of its list.
RealBest real_best(const Eigen::MatrixXd& A, const Eigen::VectorXd& b, const std::vector<AllowedValues>& lists);

/// Places in `wanted` of what is kept and cannot stay: where what is asked is met by real settings, these move beyond
/// their tolerance however much weight they are given.
std::vector<std::size_t> must_go(const WholeLinear& linear, const std::vector<Wanted>& wanted,
                                 const std::vector<AllowedValues>& lists);

}  // namespace shimwise
