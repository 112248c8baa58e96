// The boxes of shims of a car: which stacks may take from them, and what stays in them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/choose/stock.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

/// Of these stacks the others that draw on the same shared box as `stack`.
std::vector<AdjusterPlace> sharing_box(const Car& car, const AdjusterPlace& stack,
                                       const std::vector<AdjusterPlace>& stacks);

/// Shims for a stack beside its own: its box, and what is fitted at the others of these stacks that share it.
std::vector<double> at_hand_mm(const Car& car, const AdjusterPlace& stack, const std::vector<AdjusterPlace>& stacks);

/// Whether shims are at hand for a stack: in its box, or fitted at a stack that draws on it.
bool all_at_hand(const Car& car, const AdjusterPlace& stack, const std::vector<double>& shims_mm);

/// "front_left.camber shim: not all of 2.0 + 0.7 mm is at hand for it"; empty where it is.
std::string not_at_hand_words(const Car& car, const AdjusterPlace& stack, const std::vector<double>& shims_mm);

/// The stack of "corner.adjuster name". Throws InputError where the car has no such pack of shims.
AdjusterPlace demand_stack(const Car& car, const std::string& key);

/// Of each combination of packs the thickness of all shims that are missing for it; 0 where all are at hand at the same
/// time, or others that make these packs as thick. No shim is in two packs, and what is fitted elsewhere stays there.
/// `picked_of_each`: the place of every stack's pack in its list, combination by combination.
std::vector<double> missing_shims_mm(const Car& car, const std::vector<AdjusterPlace>& stacks,
                                     const std::vector<std::vector<std::vector<double>>>& packs_of_each_mm,
                                     const std::vector<std::vector<std::size_t>>& picked_of_each);

/// The total that a stack is to have.
struct TotalAt {
    AdjusterPlace stack;
    double total_mm = 0.0;
};

/// The packs of these totals from their boxes and each other's shims, no shim used twice, in this order and with least
/// change; nothing where the shims do not make all of them at the same time. Exact.
std::optional<std::vector<StackChoice>> packs_together(const Car& car, const std::vector<TotalAt>& totals);

struct PackAt {
    AdjusterPlace stack;
    StackChoice shims;
};

/// The car with these packs. What comes out goes into the boxes before anything is taken from them: a shim may go from
/// one stack to another.
Car with_packs(Car car, const std::vector<PackAt>& packs);

/// The car with other shims in one stack: those taken out go into its box, those put in come from there. What is fitted
/// in fact is no matter of the box: a shim that is not in it is fitted all the same.
/// Throws InputError where the car has no such stack or a limit is broken.
Car refit(Car car, CornerId corner, const std::string& stack, const std::vector<double>& shims_mm);

}  // namespace shimwise
