// What the plan may set: each adjuster that takes part, or several that turn by equal steps.
#pragma once

#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/choose/plan.hpp"

namespace shimwise {

/// One unknown. Its value counts hand steps (of a pack: thinnest shims) from as it stands.
struct Movable {
    std::vector<AdjusterPlace> places;                  // one, or those that are tied
    std::vector<double> steps;                          // ascending
    std::vector<std::vector<AllowedSetting>> settings;  // of each place, as `steps`
    std::vector<double> step_mm;                        // of each place
    std::optional<std::size_t> present;                 // where all of them stand now
    double minutes = 0.0;                               // of touching it
    bool preferred = false;
};

/// A length that several threads turn: its limits hold for their sum.
struct SharedLength {
    std::vector<std::pair<std::size_t, std::size_t>> members;  // movable, place in it
    double least_mm = 0.0, most_mm = 0.0;                      // of the sum of their amounts
};

/// A box on which two or more stacks draw.
struct SharedBox {
    std::string name;
    std::vector<std::size_t> members;  // movables
};

struct Movables {
    std::vector<Movable> all;
    std::vector<SharedLength> lengths;
    std::vector<SharedBox> boxes;
    std::vector<std::string> notes;

    std::vector<AdjusterPlace> places() const;
};

/// Of these adjusters what they may be set to. `forced`: one setting alone, turns of a thread or mm of a pack.
/// Throws InputError where a forced setting cannot be had, or tied adjusters have no step in common.
Movables movables(const Car& car, const std::vector<AdjusterPlace>& places,
                  const std::vector<std::vector<AdjusterPlace>>& tied,
                  const std::vector<std::pair<AdjusterPlace, double>>& forced);

}  // namespace shimwise
