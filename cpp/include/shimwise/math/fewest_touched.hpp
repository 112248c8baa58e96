// The cheapest unknowns to touch so that linear outputs come inside their windows, with a proof.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "shimwise/math/integer_least_squares.hpp"

namespace shimwise {

struct TouchedChoice {
    Eigen::VectorXd x;
    double price = 0.0;     // of all x_i that are not 0
    double distance = 0.0;  // squared, of A x to the middle of the windows that have two ends
};

struct TouchedSearch {
    std::optional<TouchedChoice> best;
    std::uint64_t nodes = 0;  // sets and partial choices for which a bound was found
    bool proven = false;      // with `best`: none is cheaper; without: no choice is inside. false: the limit ended it
};

/// The x with low <= A x <= high and x_i from allowed[i] whose touched unknowns, x_i other than 0, cost the least; of
/// equal price the one nearest to the middle of the windows, then the one of least |x|. Windows may be open on one side
/// or both. Sets in the order of their price, the cheapest that holds a choice; a set falls with all its parts where a
/// weighted sum of the outputs cannot come inside its window (Farkas 1902), and what that sum lacks says what must be
/// paid at least. Inside means to rounding: 1e-12 of what the allowed values make of a row.
/// Throws std::invalid_argument: shapes, a number that is none, a window without inside, a price below 0.
TouchedSearch fewest_touched(const Eigen::MatrixXd& A, const Eigen::VectorXd& low, const Eigen::VectorXd& high,
                             const std::vector<AllowedValues>& allowed, const Eigen::VectorXd& price,
                             std::uint64_t node_limit);

struct FirstTouchedSet {
    std::optional<std::vector<Eigen::Index>> set;  // its unknowns, ascending
    double price = 0.0;
    std::uint64_t nodes = 0;  // sets for which a bound was found
    bool proven = false;      // with `set`: none before it; without: no set is accepted. false: the limit ended it
};

/// Whether a set of touched unknowns, ascending, will do, by what the windows do not say.
using Accepts = std::function<bool(const std::vector<Eigen::Index>&)>;

/// The first set that is accepted of those that may come inside low <= A x <= high with x_i from allowed[i], other than
/// 0 in the set and 0 outside it: in the order of their price, of equal ones the fewest unknowns first, then by the
/// unknowns. A set is not asked about where it is proven as above that it cannot; where it is not proven, it may still
/// be that none of its values comes inside. Throws as fewest_touched.
FirstTouchedSet first_touched_set(const Eigen::MatrixXd& A, const Eigen::VectorXd& low, const Eigen::VectorXd& high,
                                  const std::vector<AllowedValues>& allowed, const Eigen::VectorXd& price,
                                  const Accepts& accepts, std::uint64_t node_limit);

}  // namespace shimwise
