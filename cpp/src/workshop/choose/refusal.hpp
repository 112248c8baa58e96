// Why a corner's target cannot be met: the nearest that can be, and what binds.
#pragma once

#include "workshop/choose/search.hpp"

namespace shimwise {

/// "front_left: camber -4.000 deg (tolerance 0.050) cannot be met: the nearest is -3.122 deg, .. What binds: .."
/// `nearest`: the best that can be set; `stock_bound`: the shared shims kept it from being better.
std::string refusal(const Car& car, const CornerProblem& problem, const Candidate& nearest, bool stock_bound);

/// Where nothing can be set at all: which adjuster has no setting inside its limits, or nothing that assembles.
std::string no_setting(const Car& car, const CornerProblem& problem);

}  // namespace shimwise
