// Least squares where every unknown is taken from its own list of allowed values, solved with a proof.
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <utility>
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
    double bound = 0.0;                 // no choice costs less; the cheapest cost where that is proven, infinite: none
};

/// The `count` cheapest x of |A x - b|^2 with x_i from allowed[i]: QR, depth-first search outward from the real optimum
/// (Schnorr & Euchner 1994), bounded by the real optimum within the limits; the radius is the count-th cost found.
/// Precondition: columns of A are independent (add a tiny ridge where they are not), otherwise std::invalid_argument.
/// At least one solution is found whatever the limit.
IntegerSearch integer_least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b,
                                    const std::vector<AllowedValues>& allowed, std::size_t count,
                                    std::uint64_t node_limit);

/// Values that belong together, as pieces from one store: `takes` says whether those of `chosen`, each an unknown and
/// its value in the order of `unknowns`, may be had at the same time. Where it refuses some it refuses all that hold
/// them, and the same question has the same answer. `work`: how many nodes a question counts as, where an answer takes
/// long.
struct TogetherGroup {
    std::vector<Eigen::Index> unknowns;
    std::function<bool(const std::vector<std::pair<Eigen::Index, double>>& chosen)> takes;
    std::uint64_t work = 0;
};

struct IntegerConditions {
    Eigen::MatrixXd rows = {};  // low <= rows x <= high; ends may be infinite
    Eigen::VectorXd low = {}, high = {};
    std::vector<TogetherGroup> together = {};
    double below = std::numeric_limits<double>::infinity();  // nothing dearer is wanted
};

/// The same among the x that keep the conditions, to rounding: 1e-12 of what the allowed values make of a row. Rows are
/// soft rows of the sum that is searched, the radius as much larger as keeping them can add; a branch ends where a row
/// cannot come inside, where what is left of the radius does not pay for bringing it inside, and where a group refuses
/// what is chosen. The radius grows from the real optimum; where that takes long, good choices are looked for by steps
/// along a reduced lattice and improved a few unknowns at a time. Nothing in `best`: proven, there is no such choice;
/// not proven, none was found. Throws std::invalid_argument as above, and of rows, windows and groups.
IntegerSearch integer_least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b,
                                    const std::vector<AllowedValues>& allowed, std::size_t count,
                                    std::uint64_t node_limit, const IntegerConditions& conditions);

/// The whole numbers least..most.
AllowedValues whole_numbers(std::int64_t least, std::int64_t most);

/// Ranges that hold the `count` cheapest whole-number x of |A x - b|^2 without limits: the box around the ellipsoid
/// whose cost is the count-th of the points next to the one rounded unknown by unknown (Babai 1986).
std::vector<AllowedValues> sufficient_whole_numbers(const Eigen::MatrixXd& A, const Eigen::VectorXd& b,
                                                    std::size_t count);

}  // namespace shimwise
