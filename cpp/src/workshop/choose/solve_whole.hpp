// From what takes part to the closest plan: what cannot be kept is let go, who is needed comes in.
#pragma once

#include <memory>

#include "workshop/choose/closest.hpp"
#include "workshop/choose/part.hpp"

namespace shimwise {

struct SolvedWhole {
    std::shared_ptr<WholeProblem> problem;
    Part part;
    Closest closest;
    std::optional<WholePlan>
        inside;  // a plan that meets every target and misses no limit: the closest itself, or another
    std::vector<std::string> notes;
};

/// First with all that is known and not asked for kept. What cannot be kept with what is asked met by real settings is
/// let go; where whole steps do not come inside either, all that must go for it; then the held purposes come in, fewest
/// minutes first, where with them every target is met.
std::optional<SolvedWhole> solve_whole(const Car& car, const Measured& measured, HeldCar& held, const Part& part,
                                       const Selection& selection, const PlanOptions& options);

}  // namespace shimwise
