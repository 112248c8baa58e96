// One corner as set, and all that its curves show at a position.
#pragma once

#include <array>
#include <optional>

#include "shimwise/motion/curves.hpp"
#include "shimwise/motion/setup.hpp"

namespace shimwise {

/// A state's outputs, then its curves, in the order of the lists; NaN where something is `missing_for` a curve.
using CurveRow = std::array<double, output_count + curve_count>;

/// Ready for any wheel travel.
class CurveStates {
public:
    /// Precondition: the corner outlives it; `now` is how it is set.
    CurveStates(const Corner& corner, Setup now);
    CurveStates(const CurveStates&) = delete;  // its linkages refer to its own geometries
    CurveStates& operator=(const CurveStates&) = delete;

    const Setup& now() const { return now_; }
    const Linkage<double>& plain() const { return plain_; }
    double contact_x(const Solved& solved) const;
    /// Wheelbase change is counted from this x of the contact.
    CurveRow row(const Solved& solved, double contact_x_at_rest) const;

private:
    using Along = Dual<double, 1>;  // a number and its derivative by the half tangent

    const Corner& corner_;
    Setup now_;
    std::optional<Geometry> tyre_;
    Linkage<double> plain_;
    Linkage<Along> along_;
    std::optional<Linkage<Along>> along_on_tyre_;
};

}  // namespace shimwise
