// The exact search for whole numbers that keep conditions.
#pragma once

#include "math/conditions.hpp"

namespace shimwise {

/// Rows as soft rows: whatever keeps the windows has |A x - b|^2 + |weight (C x - centre)|^2 <= |A x - b|^2 + most, so
/// that a search of the sum loses nothing and has something to choose by in every direction.
struct SoftRows {
    Eigen::VectorXd weight, centre;
    double most = 0.0;
};

/// The weights that leave the smallest ellipsoid for what costs less than `gap` beyond the real optimum and keeps the
/// rows: its volume is least where each row takes its share of the dimensions (multiplicative steps, as in D-optimal
/// design: Titterington 1976). Windows that are open on a side have none.
SoftRows soft_rows(const ConditionedProblem& problem, double gap);

/// Lower bound of the cost by the real optimum in box and windows: multipliers of the rows by Hestenes and Powell, each
/// of which is a bound, whatever it is.
double real_bound(const ConditionedProblem& problem);

struct SearchEnd {
    bool finished = false;
    double bound = 0.0;  // of what is not in `cheapest`
};

/// Depth-first, outward from the real optimum of the soft problem. What it finds goes into `cheapest`, whose radius
/// bounds it; the work's limit ends it.
SearchEnd search_conditioned(const ConditionedProblem& problem, const SoftRows& soft, Groups& groups,
                             Cheapest& cheapest, Work& work);

}  // namespace shimwise
