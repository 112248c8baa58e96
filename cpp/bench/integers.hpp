// Whole-number least squares of the benchmark: kinds of a hundred problems, their rows, and the problems for a peer.
#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "rows.hpp"
#include "shimwise/math/integer_least_squares.hpp"

namespace bench {

struct IntegerProblem {
    Eigen::MatrixXd A;
    Eigen::VectorXd b;
    std::vector<shimwise::AllowedValues> allowed;
};

struct IntegerKind {
    std::string name;
    std::string what;
    std::vector<IntegerProblem> problems;
};

/// Seeded; the same on every machine with this standard library.
std::vector<IntegerKind> integer_kinds();

/// Best and runner-up of each problem.
std::vector<Row> integer_rows();

}  // namespace bench
