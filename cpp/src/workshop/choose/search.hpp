// The two exact answers for one corner: every combination on the nonlinear model, or integer least squares first.
#pragma once

#include "workshop/choose/candidate.hpp"

namespace shimwise {

/// The best plans among those that ask the same of the shared boxes.
struct Option {
    std::vector<std::size_t> shared;  // settings of the unknowns with a shared box, in order
    Candidate closest;
    std::optional<Candidate> second;   // next to the closest
    std::optional<Candidate> guarded;  // least work inside tolerance less the guard band
    std::optional<Candidate> within;   // least work inside tolerance
};

struct CornerSearch {
    std::vector<Option> options;       // nearest first; empty: nothing can be set inside limits, or nothing assembles
    std::optional<Candidate> nothing;  // as it stands now
    Proof proof;
};

/// Unknowns of the problem that draw on a shared box, in order.
std::vector<std::size_t> shared_unknowns(const CornerProblem& problem);

CornerSearch search(const CornerProblem& problem, const PlanOptions& options);

}  // namespace shimwise
