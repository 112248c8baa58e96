#include "shimwise/workshop/choose/predict.hpp"

#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/units.hpp"
#include "workshop/choose/spread.hpp"
#include "workshop/measure/by_model.hpp"

namespace shimwise {
namespace {

double anew_twice_variance(const Measured& measured, const ValueId& id) {
    const std::size_t i = *measured.find(id);
    return anew_twice(measured, i, i);
}

Outputs<double> difference(const Outputs<double>& after, const Outputs<double>& before) {
    Outputs<double> d{};
    for (std::size_t o = 0; o < output_count; ++o) d[o] = after[o] - before[o];
    return d;
}

}  // namespace

WholeCarChange whole_car_change(const Measured& measured, const Car& before, const Car& after) {
    WholeCarChange whole;
    whole.held = measured.struts_solid ? CarHeld::spring : CarHeld::rest;
    try {
        const RestModel m = rest_model(as_it_stood(before, measured));
        const ModelValues was = model_values(measured, m, before), is = model_values(measured, m, after);
        for (std::size_t i = 0; i < measured.quantities.size(); ++i) {
            const ValueId& id = measured.quantities[i].id;
            if (!was.has(id) || info(id).kind == ValueKind::alignment) continue;
            const auto at = static_cast<Eigen::Index>(i);
            const double now = measured.values.value(at);
            whole.values.push_back(
                {id, now, now + (value(is.values, id) - value(was.values, id)), std::sqrt(anew_twice(measured, i, i))});
        }
        for (std::size_t c = 0; c < corner_count; ++c)
            whole.change[c] = difference(is.values.corners[c], was.values.corners[c]);
    } catch (const OutOfReach& failure) {
        whole.held = CarHeld::contact;
        whole.why_not = failure.what();
        for (std::size_t c = 0; c < corner_count; ++c)
            whole.change[c] = difference(outputs_on(measured.ground, after.corners[c]),
                                         outputs_on(measured.ground, before.corners[c]));
    }
    return whole;
}

std::string whole_car_words(const WholeCarChange& change, const Car& car) {
    if (!change.why_not.empty())
        return "The car at rest cannot be worked out: " + change.why_not +
               ". The contacts are held instead: the chassis does not move, and heights and weights are not predicted.";
    if (change.held == CarHeld::spring)
        return "On solid struts heights and alignment are those of the best plane, and scales tell nothing.";
    if (car.chassis_twist_Nm_per_deg) return "Weights are those of a chassis that twists as the car file says.";
    return std::string(rigid_chassis_words);
}

AsMeasured as_measured(const Measured& measured, const Corner& corner) {
    const Ground& ground = measured.ground;
    return {corner, outputs_on(ground, corner), rates(setup(corner), ground.hold(), ground.held_value(), ground.frame)};
}

Expectation expectation(const Measured& measured, const AsMeasured& before, const Corner& after,
                        const Outputs<double>& change) {
    const std::size_t c = index(after.id);
    const auto value = [&](Output output) -> std::optional<double> {
        const auto read = measured.value({after.id, output});
        if (!read) return std::nullopt;
        return *read + change[index(output)];
    };
    const auto deviation = [&](Output output) {
        return std::sqrt(anew_twice_variance(measured, {after.id, output}) + missed_variance(before, after, output));
    };
    Expectation e;
    e.toe_deg = value(Output::toe);
    e.camber_deg = value(Output::camber);
    if (e.toe_deg) {
        const double span = after.wheel.flag_span_mm;
        e.toe_deviation_deg = deviation(Output::toe);
        e.flag_difference_mm = flag_difference_mm(*e.toe_deg, measured.string_angle_deg[c], span);
        e.flag_deviation_mm = span * *e.toe_deviation_deg * rad_per_deg *
                              std::cos((*e.toe_deg + measured.string_angle_deg[c]) * rad_per_deg);
    }
    if (e.camber_deg) {
        e.camber_deviation_deg = deviation(Output::camber);
        e.gauge_deg =
            measured.gauge_zero_deg[c] +
            inclination_from_camber(*e.camber_deg,
                                    e.toe_deg.value_or(before.model[index(Output::toe)] + change[index(Output::toe)]),
                                    measured.ground.plumb, after.id);
    }
    return e;
}

std::vector<ExpectedTotal> expected_totals(const Measured& measured, const OfCorners& change,
                                           const OfCorners& missed_variance) {
    std::vector<ExpectedTotal> totals;
    for (std::size_t o = 0; o < car_output_count; ++o) {
        const ValueInfo& sum = car_output_list[o];
        const ValueId id = static_cast<CarOutput>(o);
        const auto now = measured.value(id);
        if (!sums_wheels(sum) || !now) continue;
        const double by = sum_over_wheels(sum, [&](std::size_t c) { return change[c][index(sum.sum_of)]; });
        double variance = anew_twice_variance(measured, id);
        for (std::size_t c = 0; c < corner_count; ++c)
            variance += sum.shares[c] * sum.shares[c] * missed_variance[c][index(sum.sum_of)];
        totals.push_back({id, *now, *now + by, std::sqrt(variance)});
    }
    return totals;
}

}  // namespace shimwise
