// What the options of a plan name: adjusters by key, name, corner or purpose, values by key or name.
#pragma once

#include "shimwise/workshop/choose/plan.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

struct Selection {
    std::vector<ValueId> keep, free;
    std::vector<AdjusterPlace> turn, forbid, prefer;
    std::vector<std::pair<AdjusterPlace, double>> force;  // turns of a thread, mm of a pack
    std::vector<std::vector<AdjusterPlace>> tie;

    static bool holds(const std::vector<AdjusterPlace>& places, const AdjusterPlace& place);
    /// Those that are not among them yet, at their end.
    static void add(std::vector<AdjusterPlace>& places, const std::vector<AdjusterPlace>& more);
    /// Corner by corner, as in the car file.
    static void sort(std::vector<AdjusterPlace>& places);
};

/// Throws InputError with every option that names nothing, or that another one or the targets contradict.
Selection selected(const Car& car, const Targets& targets, const PlanOptions& options);

}  // namespace shimwise
