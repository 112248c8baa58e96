// What every adjuster, pad and ballast and what the rack does to every value of the car at rest: derivatives.
#pragma once

#include "shimwise/rest/solve.hpp"

namespace shimwise {

/// One column of derivatives: an adjuster per mm of its amount, a pad's height per mm, a ballast per kg, the rack per
/// mm.
struct RestVariable {
    enum class Of { adjuster, pad, ballast, rack };
    Of of = Of::adjuster;
    std::string key;  // "front_left.track rod", "pad.front_left", "ballast.fuel", "rack"
    std::size_t corner = 0;
    std::size_t index = 0;  // adjuster of the corner, or weight of the model
};
std::vector<RestVariable> rest_variables(const RestModel& model);

/// d value / d variable at rest, by implicit differentiation with the stops as they are: with r the residual of rest
/// and K its symmetric matrix, d unknowns = -K^-1 dr; then every value once more in dual numbers along these
/// directions. Rows as `rest_outputs`, columns as `rest_variables`.
Eigen::MatrixXd rest_rates(const RestModel& model, const RestState& state, const PadHeights& pads_mm = {});

/// The same where both lists are at hand: those of this model.
Eigen::MatrixXd rest_rates(const RestModel& model, const RestState& state, const PadHeights& pads_mm,
                           const std::vector<ValueId>& outputs, const std::vector<RestVariable>& variables);

}  // namespace shimwise
