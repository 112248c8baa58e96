// One adjuster's effect over a whole sweep: made once per geometry, then one evaluation a state, in any order.
#pragma once

#include <memory>

#include "shimwise/motion/rates.hpp"

namespace bench {

/// Alignment at a held value and its derivative by one mm of the adjuster, the held value kept.
struct Sensitivity {
    double half_tan = 0.0;
    double toe_deg = 0.0;
    double camber_deg = 0.0;
    double toe_deg_per_mm = 0.0;
    double camber_deg_per_mm = 0.0;
};

class SensitivitySweep {
public:
    /// For held values from `low` to `high`; throws OutOfReach where one of them can not be reached.
    SensitivitySweep(const shimwise::Setup& setup, std::size_t adjuster, const shimwise::Hold& hold, double low,
                     double high, const shimwise::Frame& frame = {});
    ~SensitivitySweep();

    /// Precondition: low <= value <= high. One evaluation in dual numbers of two derivatives, by the half tangent and
    /// by the adjuster; the start is so near that the Newton step's first order is exact to `tolerances::held_mm`.
    Sensitivity operator()(double value) const;

    /// The same without the table of starts, for any value: Newton from the drawn position first. Throws OutOfReach.
    Sensitivity from_drawn(double value) const;

private:
    struct Constants;
    std::unique_ptr<const Constants> constants_;
};

/// The same for a geometry used once: Newton from the half tangent `start`, then one evaluation. Throws OutOfReach.
Sensitivity sensitivity(const shimwise::Setup& setup, std::size_t adjuster, const shimwise::Hold& hold, double value,
                        double start = 0.0, const shimwise::Frame& frame = {});

}  // namespace bench
