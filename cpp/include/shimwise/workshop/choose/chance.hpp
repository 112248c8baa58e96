// How likely the car is to pass once a choice is done, and the choice that follows from it.
#pragma once

#include "shimwise/math/box_probability.hpp"
#include "shimwise/workshop/choose/plan.hpp"

namespace shimwise {

/// The probability that every target that was read lies within its tolerance when it is measured again with the same
/// instruments and zeros, to 1e-3.
BoxProbability chance(const NextReading& next);

/// Of every choice of a plan.
struct Chances {
    BoxProbability nothing, closest;
    std::optional<BoxProbability> least_work;
};
Chances chances(const Plan& plan);

/// Less work is taken where it costs no more of the best chance than 0.05, and no more than a tenth of it: of a chance
/// of 0.02 less than nothing would be left.
double near_enough(double best);

/// The choice a card is written for: touch nothing where no plan makes passing likelier and none lowers the cost by
/// more than the next reading scatters it; least work where it saves minutes and its chance is `near_enough`; otherwise
/// the closest.
Which default_choice(const Plan& plan, const Chances& chances);
Which default_choice(const Plan& plan);

/// The reading that, taken once more and averaged, makes passing likeliest, and how likely then; nothing where that is
/// hardly likelier than without.
struct ReadAgain {
    ValueId id;
    double chance = 0.0;
};
std::optional<ReadAgain> worth_reading_again(const Plan& plan, Which which);

}  // namespace shimwise
