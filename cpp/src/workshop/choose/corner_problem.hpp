// One corner's choice as numbers: what may be set to what, what is wanted, and what a combination would read.
#pragma once

#include "shimwise/motion/rates.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/choose/plan.hpp"
#include "workshop/choose/goals.hpp"

namespace shimwise {

struct Unknown : Allowed {
    std::size_t adjuster = 0;
    std::string shared_box;  // empty: no other stack of the plan draws on it
};

/// Two or more unknowns that turn one length: its limits hold for their sum.
struct SharedLength {
    std::vector<std::size_t> unknowns;
    double others_mm = 0.0;
    double least_mm = 0.0, most_mm = 0.0;
};

struct CornerProblem {
    CornerId id = CornerId::front_left;
    Setup now;
    Ground ground;
    std::vector<Unknown> unknowns;
    std::vector<WantedOutput> wanted;
    std::vector<SharedLength> shared_lengths;
    std::vector<std::string> notes;

    double combinations() const;
};

using CornerProblems = std::array<CornerProblem, corner_count>;

/// A corner as it stands, with what its adjusters may be set to; stacks are left open.
CornerProblem corner_problem(const Car& car, CornerId id, const Measured& measured, const Targets& targets);

/// Fills the settings of its stacks, once it is known which stacks of all corners draw on the same box.
void fill_stacks(CornerProblems& problems, const Car& car);

}  // namespace shimwise
