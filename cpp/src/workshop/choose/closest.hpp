// The plan of least cost: whole-number least squares about the best plan seen, the nonlinear car as judge.
#pragma once

#include "workshop/choose/whole_problem.hpp"

namespace shimwise {

/// How much work a search may do. Counted, not timed: the same question always has the same answer.
struct SearchEffort {
    std::size_t listed = 50;        // plans of one linear model
    std::size_t most_listed = 800;  // where the model's error asks for more
    std::uint64_t nodes = 400'000;  // of one list
    std::uint64_t states = 800;     // of the car
    int linearisations = 12;
    bool inside = false;  // of plans that meet every target
};

struct Closest {
    WholePlan best;
    std::optional<WholeLinear> linear;  // about the best
    Proof proof;
};

/// `lists`: what each movable may be set to, those of the problem or fewer. Always at the best plan seen, until that
/// repeats and the list reaches past (root of its cost + twice the model's largest error)^2. A plan that changes what
/// carries (a stop, a rubber, a third) is linearised too. Where limits cannot be met the one that misses them least.
/// Nothing where no plan lets the car stand. It begins at `start`, otherwise as the car stands.
std::optional<Closest> closest(WholeProblem& problem, const std::vector<AllowedValues>& lists,
                               const SearchEffort& effort = {}, const std::optional<Combination>& start = {});

}  // namespace shimwise
