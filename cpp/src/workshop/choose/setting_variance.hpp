// By how much an adjuster that is turned or repacked misses its amount.
#pragma once

#include <cstddef>

#include "shimwise/model/adjuster.hpp"

namespace shimwise {

/// mm squared: a thread that is turned by its settability, a stack by each shim that goes in or out. `moved`: how many
/// those are; of a thread 1; 0 where nothing is touched.
inline double setting_variance_mm2(const Adjuster& adjuster, std::size_t moved) {
    if (moved == 0) return 0.0;
    if (const Thread* thread = adjuster.thread()) {
        const double missed_mm = thread->settable_turns * thread->lead_mm();
        return missed_mm * missed_mm;
    }
    const double u = adjuster.stack()->thickness_uncertainty_mm;
    return u * u * static_cast<double>(moved);
}

}  // namespace shimwise
