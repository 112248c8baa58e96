// What the steps of a saved card leave, read back from their words.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

/// A line of a card at which something is turned.
struct TurnedLine {
    int step = 0;      // of the working order
    std::string key;   // of the adjuster
    std::string text;  // "front_left track rod: 1 1/2 flats longer (0.25 turn)"
};

/// Where `after` is not what the lines make of `before`: the field and the rule; nothing where the two agree. Words
/// have three decimals of a turn or mm, so that is how far they can tell.
struct Disagreement {
    std::string field;
    std::string rule;
};
std::optional<Disagreement> disagreement(const Car& before, const std::vector<TurnedLine>& lines, const Car& after);

/// The car with the lines of the steps up to `through` done, where all of them lead from `before` to `after`; boxes
/// hold what is fitted nowhere. `why_not`: in words, where a shim would have to be in two packs.
Car done_through(const Car& before, const std::vector<TurnedLine>& lines, const Car& after, int through,
                 std::string& why_not);

}  // namespace shimwise
