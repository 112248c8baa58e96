// The way back to an accepted state: what to turn and what to shim from how the car stands now.
#pragma once

#include <string>
#include <vector>

#include "shimwise/workshop/files/targets.hpp"
#include "shimwise/workshop/measure/baseline.hpp"

namespace shimwise {

/// One adjuster on its way back. A setting is turns of a thread from as drawn, thickness of a pack in mm.
struct RestoreLine {
    std::string key;
    Purpose purpose = Purpose::toe;
    std::string words;  // "2 flats longer (0.333 turn)", "remove the 1.0 mm shim: pack 2.0 mm"
    double before = 0.0, after = 0.0;
    double minutes = 0.0;
};

struct Restored {
    std::vector<RestoreLine> lines;     // of what is touched, in working order
    std::vector<std::string> not_made;  // sentences: packs that no shims at hand make, and what can be made
    std::vector<std::string> notes;     // adjusters that the baseline or the car does not have
    Settings settings;                  // once all lines are done
    double minutes = 0.0;
};

/// From how the car is set to how it was set then: threads by the turns between, packs to the same thickness by the
/// shims that are fitted and at hand, no shim used twice. Where these do not make all packs, those that they make
/// together, one after the other in working order. Precondition: a baseline of this car.
Restored restore(const Car& car, const Baseline& baseline);

/// What was accepted as what is wanted of a car that was read again: every value that can be asked for and has a common
/// tolerance, within that. Sums over the wheels follow, and are left out. Said of them: how old the baseline is, and
/// why it was accepted. Precondition: a baseline of this car.
Targets targets_of(const Baseline& baseline, const Measured& now, const Car& car);

}  // namespace shimwise
