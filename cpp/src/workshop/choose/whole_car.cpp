#include "shimwise/workshop/choose/whole_car.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/rest/solid.hpp"

namespace shimwise {
namespace {

/// The car as it stood when it was read.
Car as_it_stood(Car car, const Measured& measured) {
    for (auto& bar : car.bars)
        if (bar && !measured.bars.empty()) bar->connected = measured.bars == "on";
    return car;
}

struct Stood {
    std::vector<RestOutput> outputs;
    RestValues<double> values;
};

Stood stood(const Measured& measured, const RestModel& with_loads, const Car& car) {
    RestModel m = with_ballast(with_loads, measured.ballast_kg);
    for (std::size_t c = 0; c < corner_count; ++c) m.setups[c].amounts_mm = car.corners[c].amounts_mm();
    if (measured.struts_solid) return {solid_outputs(m), on_solid_struts(m, {}, drawn_struts_mm(m.car)).stands.values};
    return {rest_outputs(m), rest(m).values};
}

Outputs<double> difference(const Outputs<double>& after, const Outputs<double>& before) {
    Outputs<double> d{};
    for (std::size_t o = 0; o < output_count; ++o) d[o] = after[o] - before[o];
    return d;
}

bool is_alignment(const RestOutput& output) {
    if (output.of == RestOutput::Of::corner) return true;
    if (output.of != RestOutput::Of::car) return false;
    const CarOutput o = static_cast<CarOutput>(output.index);
    return o == CarOutput::total_toe_front || o == CarOutput::total_toe_rear || o == CarOutput::thrust_angle;
}

}  // namespace

WholeCarChange whole_car_change(const Measured& measured, const Car& before, const Car& after) {
    WholeCarChange whole;
    whole.held = measured.struts_solid ? "spring" : "rest";
    try {
        const RestModel m = rest_model(as_it_stood(before, measured));
        const Stood was = stood(measured, m, before), is = stood(measured, m, after);
        for (std::size_t i = 0; i < measured.quantities.size(); ++i) {
            const Quantity& quantity = measured.quantities[i];
            const auto output = std::find_if(was.outputs.begin(), was.outputs.end(), [&](const RestOutput& o) {
                return o.name == quantity.key + "_" + quantity.unit;
            });
            if (output == was.outputs.end() || is_alignment(*output)) continue;
            const auto at = static_cast<Eigen::Index>(i);
            const double now = measured.values.value(at);
            whole.values.push_back({quantity.key, quantity.unit, now,
                                    now + (value(is.values, *output) - value(was.values, *output)),
                                    std::sqrt(2.0 * measured.repeat_covariance(at, at))});
        }
        for (std::size_t c = 0; c < corner_count; ++c)
            whole.change[c] = difference(is.values.corners[c], was.values.corners[c]);
    } catch (const OutOfReach& failure) {
        whole.held = "contact";
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
    if (change.held == "spring")
        return "On solid struts heights and alignment are those of the best plane, and scales tell nothing.";
    if (car.chassis_twist_Nm_per_deg) return "Weights are those of a chassis that twists as the car file says.";
    return "Weights are those of a rigid chassis; a real one twists and loses some of every change.";
}

}  // namespace shimwise
