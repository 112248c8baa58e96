#include "shimwise/workshop/choose/other_place.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/measure/level.hpp"
#include "workshop/choose/spread.hpp"
#include "workshop/measure/by_model.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::RowVectorXd;

const PadHeights& pads_read(const Measured& measured) {
    if (!measured.given.pad_height_mm)
        throw InputError({{measured.given.file, 0, 0, "pads", "",
                           "were not read: nothing says how this place lies beside the other"}});
    return *measured.given.pad_height_mm;
}

/// How values follow from the inputs that are pads; 0 by all others.
MatrixXd by_pad_inputs(const Measured& measured, const MatrixXd& by_pads) {
    MatrixXd by = MatrixXd::Zero(by_pads.rows(), static_cast<Index>(measured.inputs.size()));
    const auto first = std::ranges::find(measured.inputs, InputKind::pad, &InputQuantity::kind);
    const MatrixXd pads = pads_by_inputs(measured.given);
    by.middleCols(first - measured.inputs.begin(), pads.cols()) = by_pads * pads;
    return by;
}

/// What `by` makes of pads that are off; of other inputs, nothing.
double variance_by_pads(const Measured& measured, const RowVectorXd& by) {
    double variance = 0.0;
    for (std::size_t i = 0; i < measured.inputs.size(); ++i)
        if (measured.inputs[i].kind == InputKind::pad)
            variance += std::pow(by(static_cast<Index>(i)) * measured.inputs[i].standard(), 2);
    return variance;
}

/// The car as it was read there, by the model, on the pads of both places.
class BothPlaces {
public:
    BothPlaces(const Measured& here, const Measured& there, const Car& given) : here_(here), there_(there) {
        const PadHeights &pads_here = pads_read(here), &pads_there = pads_read(there);
        const Car car = as_it_stood(as_read(given, there.read), there);
        const RestModel model = model_as_read(there, rest_model(car), car);
        is_ = values_on(there, model, pads_here);
        was_ = values_on(there, model, pads_there);
        by_here_ = by_pad_inputs(here, rates_by_pads(there, model, pads_here));
        by_there_ = by_pad_inputs(there, rates_by_pads(there, model, pads_there));
    }

    bool has(const ValueId& id) const { return is_.has(id); }
    double change(const ValueId& id) const { return value(is_.values, id) - value(was_.values, id); }

    /// By what the pads of both places may be off. `read`: how what was read there follows from its inputs.
    double variance(const ValueId& id, const RowVectorXd& read) const {
        const Index row = std::ranges::find(is_.outputs, id) - is_.outputs.begin();
        return variance_by_pads(here_, by_here_.row(row)) + variance_by_pads(there_, read - by_there_.row(row));
    }

private:
    const Measured& here_;
    const Measured& there_;
    ModelValues is_, was_;
    MatrixXd by_here_, by_there_;  // rows as the model's outputs, columns as the inputs of each place
};

double anew_variance(const Measured& measured, const std::string& key) {
    const auto input = std::ranges::find(measured.inputs, key, &InputQuantity::key);
    return std::pow(input->anew.standard(), 2);
}

}  // namespace

OtherPlace expect_here(const Measured& here, const Measured& there, const Car& car) {
    const BothPlaces places(here, there, car);
    OtherPlace other;
    for (std::size_t i = 0; i < there.quantities.size(); ++i) {
        const ValueId& id = there.quantities[i].id;
        if (!places.has(id)) continue;
        const auto at = static_cast<Index>(i);
        const double now = there.values.value(at);
        const double variance = anew_twice(there, i, i) + places.variance(id, there.by_inputs.row(at));
        other.values.push_back({id, now, now + places.change(id), std::sqrt(variance)});
    }
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto& read = there.given.corners[c].camber_deg;
        if (!read) continue;
        const ValueId to_plumb = {static_cast<CornerId>(c), CornerLoad::inclination_to_plumb};
        const std::string wheel(corner_names[c]);
        const double anew =
            anew_variance(there, wheel + ".camber.facing") + anew_variance(there, wheel + ".camber.settling");
        const RowVectorXd not_by_pads = RowVectorXd::Zero(static_cast<Index>(there.inputs.size()));
        other.gauges[c] = {read->facing, read->facing + places.change(to_plumb),
                           std::sqrt(2.0 * anew + places.variance(to_plumb, not_by_pads))};
    }
    return other;
}

}  // namespace shimwise
