// The plan of fewest minutes among those that are as likely to pass as the best.
#pragma once

#include "workshop/choose/closest.hpp"

namespace shimwise {

struct LeastWork {
    WholePlan plan;
    bool proven = false;  // no fewer minutes are enough
};

/// Sets of touched adjusters in order of their minutes, the closest plan of each: the first that meets every target,
/// breaks no limit and whose chance is `near_enough` to that of `inside`. A set falls only where its values cannot
/// reach the windows by the linear model: inside tolerance by as much as each single value's own chance demands. That
/// plan itself where none takes less. Precondition: `inside` meets every target; `linear` is about the closest plan.
LeastWork least_work(WholeProblem& problem, const WholeLinear& linear, const WholePlan& inside, double chance,
                     double model_share);

}  // namespace shimwise
