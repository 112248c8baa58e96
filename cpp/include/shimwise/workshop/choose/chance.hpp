// How likely the car is to pass once a choice is done, and the choice that follows from it.
#pragma once

#include "shimwise/math/box_probability.hpp"
#include "shimwise/workshop/choose/plan.hpp"

namespace shimwise {

/// The probability that every toe and camber asked for lies within its tolerance when it is measured again with the
/// same instruments and zeros.
BoxProbability chance(const NextReading& next);

/// Of every choice of a plan.
struct Chances {
    BoxProbability nothing, closest;
    std::optional<BoxProbability> least_work;
};
Chances chances(const Plan& plan);

/// Less work is taken where it costs no more of the closest plan's chance.
inline constexpr double near_enough = 0.05;

/// The choice a card is written for: touch nothing where no turn makes passing likelier; least work where it saves
/// minutes and its chance is `near_enough`; otherwise the closest.
Which default_choice(const Plan& plan, const Chances& chances);
Which default_choice(const Plan& plan);

}  // namespace shimwise
