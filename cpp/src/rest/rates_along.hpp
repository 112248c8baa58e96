// Values of a standing car along given directions of its unknowns.
#pragma once

#include "shimwise/rest/rates.hpp"

namespace shimwise {

/// d value / d variable, where the unknowns of `rest_system` go along `unknowns_by` (one column a variable) and each
/// variable itself by 1. Rows as `outputs`.
Eigen::MatrixXd rates_along(const RestModel& model, const RestState& state, const PadHeights& pads_mm,
                            const Eigen::MatrixXd& unknowns_by, const std::vector<ValueId>& outputs,
                            const std::vector<RestVariable>& variables);

}  // namespace shimwise
