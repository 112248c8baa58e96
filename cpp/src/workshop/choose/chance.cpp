#include "shimwise/workshop/choose/chance.hpp"

#include <algorithm>

namespace shimwise {

BoxProbability chance(const NextReading& next) {
    return probability_in_box(next.predicted, next.covariance, next.lower, next.upper);
}

Chances chances(const Plan& plan) {
    Chances found{chance(plan.nothing.next), chance(plan.closest.next), std::nullopt};
    if (plan.least_work) found.least_work = chance(plan.least_work->next);
    return found;
}

Which default_choice(const Plan& plan, const Chances& chances) {
    const double closest = chances.closest.value;
    const double least_work = chances.least_work ? chances.least_work->value : 0.0;
    if (chances.nothing.value >= std::max(closest, least_work)) return Which::nothing;
    const bool saves = plan.least_work && plan.least_work->minutes < plan.closest.minutes;
    return saves && least_work >= closest - near_enough ? Which::least_work : Which::closest;
}

Which default_choice(const Plan& plan) { return default_choice(plan, chances(plan)); }

}  // namespace shimwise
