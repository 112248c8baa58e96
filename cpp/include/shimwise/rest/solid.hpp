// The car on solid struts in place of its springs and dampers: four legs, so over-determined by one.
#pragma once

#include "shimwise/rest/rates.hpp"

namespace shimwise {

using StrutLengths = std::array<double, corner_count>;  // eye to eye, mm

StrutLengths drawn_struts_mm(const Car& car);

struct SolidState {
    RestState stands;          // loads are not determined, and 0
    PadHeights over_pad_mm{};  // what every contact is left over its pad, the best plane taken; + = over it
    /// What is left to rock, front left and rear right less the other two: on a rectangle of contacts how far one wheel
    /// is off its pad once the other three stand on theirs. + = front left and rear right are over their pads.
    double rocking_mm = 0.0;
};

/// Every strut keeps its length; the chassis takes the best plane: least squares of the contacts' heights over their
/// pads, along plumb, with equal weights. The chassis is rigid. Throws OutOfReach.
SolidState on_solid_struts(const RestModel& model, const PadHeights& pads_mm, const StrutLengths& struts_mm);

/// Values that a car on solid struts has: no weights, no loads.
std::vector<ValueId> solid_outputs(const RestModel& model);

/// d value / d variable by implicit differentiation of the best plane. Rows as `outputs`, columns as `variables`.
Eigen::MatrixXd solid_rates(const RestModel& model, const RestState& state, const PadHeights& pads_mm,
                            const std::vector<ValueId>& outputs, const std::vector<RestVariable>& variables);

}  // namespace shimwise
