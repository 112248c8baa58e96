// What will be read next once a choice is done, and how that scatters.
#pragma once

#include "workshop/choose/corner_problem.hpp"

namespace shimwise {

/// Of every planned output that is read. `choice`: with its settings and predictions.
NextReading next_reading(const Measured& measured, const CornerProblems& problems, const Car& car,
                         const Choice& choice);

}  // namespace shimwise
