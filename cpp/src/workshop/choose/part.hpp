// What takes part in a plan: which values are in the cost, which are limits, and which adjusters turn for them.
#pragma once

#include "workshop/choose/held_car.hpp"
#include "workshop/choose/selection.hpp"
#include "workshop/choose/wanted.hpp"

namespace shimwise {

/// The adjusters of one purpose.
struct OfPurpose {
    Purpose purpose = Purpose::toe;
    std::vector<AdjusterPlace> places;
    double minutes = 0.0;  // of one of them, in the mean
};

/// What is turned for toe, camber or caster comes in for these only: nobody turns a track rod for a corner weight.
inline bool aligns(std::optional<Purpose> purpose) {
    return purpose == Purpose::toe || purpose == Purpose::camber || purpose == Purpose::caster;
}
inline bool asks_to_align(const Wanted& one) { return one.is_target() && aligns(info(one.id).purpose); }

struct Part {
    std::vector<Wanted> wanted;
    std::vector<AdjusterPlace> turned;
    std::vector<OfPurpose> held;       // fewest minutes first
    std::vector<ValueId> unpredicted;  // targets that were read, of which the model says nothing as the car is held
    std::vector<std::string> notes;
};

/// Groups of values enter the cost whole, in their order, while they add rank by what the adjusters do to them; one
/// that adds none follows from those before it and is a limit. Purposes enter whole, those first that serve what is
/// asked, fewest minutes first, while they add rank: beside pushrods, platforms add none. What is read and not asked
/// for is kept.
Part part_of(const Car& car, const Measured& measured, const Targets& targets, const Selection& selection,
             HeldCar& held);

}  // namespace shimwise
