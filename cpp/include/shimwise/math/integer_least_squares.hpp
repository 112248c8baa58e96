// Least squares where every unknown is taken from its own list of allowed values, solved with a proof.
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace shimwise {

/// Values that one unknown may take, ascending, at least one: whole numbers of a range or a set with gaps.
using AllowedValues = std::vector<double>;

struct IntegerSolution {
    Eigen::VectorXd x;
    double cost = 0.0;  // |A x - b|^2
};

struct IntegerSearch {
    std::vector<IntegerSolution> best;  // cheapest first, at most as many as asked for
    std::uint64_t nodes = 0;            // partial choices for which a bound was found
    bool proven = false;                // nothing cheaper was left out; false: the node limit ended the search
};

/// The `count` cheapest x of |A x - b|^2 with x_i from allowed[i]: QR, depth-first search outward from the real optimum
/// (Schnorr & Euchner 1994), bounded by the real optimum within the limits; the radius is the count-th cost found.
/// Precondition: columns of A are independent (add a tiny ridge where they are not), otherwise std::invalid_argument.
/// At least one solution is found whatever the limit.
IntegerSearch integer_least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b,
                                    const std::vector<AllowedValues>& allowed, std::size_t count,
                                    std::uint64_t node_limit);

/// The whole numbers least..most.
AllowedValues whole_numbers(std::int64_t least, std::int64_t most);

/// Ranges that hold the `count` cheapest whole-number x of |A x - b|^2 without limits: the box around the ellipsoid
/// whose cost is the count-th of the points next to the one rounded unknown by unknown (Babai 1986).
std::vector<AllowedValues> sufficient_whole_numbers(const Eigen::MatrixXd& A, const Eigen::VectorXd& b,
                                                    std::size_t count);

}  // namespace shimwise
