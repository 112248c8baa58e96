// By how much an adjuster that is turned or repacked misses its amount.
#pragma once

#include "shimwise/workshop/plan.hpp"

namespace shimwise {

/// mm squared: a thread by its settability, a stack by each shim that goes in or out; 0 where nothing is touched.
inline double setting_variance_mm2(const Adjuster& adjuster, const PlannedSetting& planned) {
    if (!planned.touched) return 0.0;
    if (const Thread* thread = adjuster.thread()) {
        const double missed_mm = thread->settable_turns * thread->lead_mm();
        return missed_mm * missed_mm;
    }
    const double u = adjuster.stack()->thickness_uncertainty_mm;
    return u * u * static_cast<double>(planned.shims.moved());
}

}  // namespace shimwise
