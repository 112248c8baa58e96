#include "workshop/choose/spread.hpp"

#include "shimwise/workshop/choose/allowed.hpp"

namespace shimwise {

std::size_t moved(const Adjuster& before, const Adjuster& after) {
    if (const Thread* thread = before.thread()) return thread->now_turns != after.thread()->now_turns ? 1 : 0;
    return repacked(before.stack()->fitted_mm, after.stack()->fitted_mm).moved();
}

double missed_variance(const AsMeasured& before, const Corner& after, Output output) {
    const auto effect = [&](std::size_t a) { return before.rates.per_mm[a][index(output)]; };
    return set_covariance(before.corner.adjusters.size(), effect, effect, [&](std::size_t a) {
        const Adjuster& adjuster = before.corner.adjusters[a];
        return setting_variance_mm2(adjuster, moved(adjuster, after.adjusters[a]));
    });
}

}  // namespace shimwise
