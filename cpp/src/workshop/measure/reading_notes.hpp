// What a morning's readings do not let anybody conclude, in sentences.
#pragma once

#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// Missing readings, what was taken instead, and states of the car in which a reading means something else.
std::vector<std::string> reading_notes(const Readings& readings, const Car& car, const Measured& measured);

/// By how many days the gauge's zero is older at the readings than it is good for, where no check this morning replaces
/// it; nothing where it is not, or nobody says.
std::optional<int> days_over(const CamberGauge& gauge, const Readings& readings);

/// Whole days from one ISO date (what follows the day is not read) to another; nothing where one is no date.
std::optional<int> days_between(const std::string& from, const std::string& to);

}  // namespace shimwise
