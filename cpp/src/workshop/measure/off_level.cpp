#include "shimwise/workshop/measure/off_level.hpp"

#include <algorithm>

#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/measure/by_model.hpp"

namespace shimwise {
namespace {

using Eigen::Vector4d;

Vector4d vector(const PadHeights& pads_mm) { return Vector4d::Map(pads_mm.data()); }

PadHeights heights(const Vector4d& pads_mm) {
    PadHeights all;
    Vector4d::Map(all.data()) = pads_mm;
    return all;
}

/// change(id): of a value of the model.
template <class Change>
ShownOffLevel shown(const ModelValues& model, const Change& change) {
    ShownOffLevel shown;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto corner = static_cast<CornerId>(c);
        shown.gauge_deg[c] = change({corner, CornerLoad::inclination_to_plumb});
        const ValueId scale = {corner, CornerLoad::weight};
        if (model.has(scale)) shown.scale_kg[c] = change(scale);
    }
    return shown;
}

}  // namespace

PadHeights off_plane_mm(const Level& level, const PadHeights& pads_mm) {
    const Vector4d pattern = level.by_pads.row(2);  // no plane of pads has a twist, so all else is across this pattern
    return heights(pattern * pattern.dot(vector(pads_mm)) / pattern.squaredNorm());
}

OffLevel off_level(const Measured& measured, const Car& given, const Level& level, const PadHeights& pads_mm) {
    OffLevel off;
    const Vector4d twist = vector(off_plane_mm(level, pads_mm)), tilt = vector(pads_mm) - twist;
    try {
        const Car car = as_it_stood(as_read(given, measured.read), measured);
        const RestModel model = model_as_read(measured, rest_model(car), car);
        const ModelValues on_level = values_on(measured, model, {});
        off.scales_tell = on_level.has({CornerId::front_left, CornerLoad::weight});
        const auto at_rest = [&](const Vector4d& on) {
            const ModelValues there = values_on(measured, model, heights(on));
            return shown(on_level,
                         [&](const ValueId& id) { return value(there.values, id) - value(on_level.values, id); });
        };
        const Eigen::MatrixXd rates = rates_by_pads(measured, model, {});
        const auto by_rates = [&](const Vector4d& on) {
            return shown(on_level, [&](const ValueId& id) {
                const auto row = std::ranges::find(on_level.outputs, id) - on_level.outputs.begin();
                return rates.row(row).dot(on);
            });
        };
        off.tilt = at_rest(tilt);
        off.twist = at_rest(twist);
        off.tilt_by_rates = by_rates(tilt);
        off.twist_by_rates = by_rates(twist);
    } catch (const OutOfReach& failure) {
        off.why_not = failure.what();
    }
    return off;
}

}  // namespace shimwise
