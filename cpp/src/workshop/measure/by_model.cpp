#include "workshop/measure/by_model.hpp"

#include <algorithm>

#include "shimwise/rest/solid.hpp"

namespace shimwise {

bool ModelValues::has(const ValueId& id) const {
    return std::find(outputs.begin(), outputs.end(), id) != outputs.end();
}

Car as_it_stood(Car car, const Measured& measured) {
    for (auto& bar : car.bars)
        if (bar && measured.bars) bar->connected = measured.bars == BarsWere::on;
    return car;
}

RestModel model_as_read(const Measured& measured, const RestModel& with_loads, const Car& car) {
    RestModel m = with_ballast(with_loads, measured.ballast_kg);
    for (std::size_t c = 0; c < corner_count; ++c) m.setups[c].amounts_mm = car.corners[c].amounts_mm();
    return m;
}

ModelValues values_on(const Measured& measured, const RestModel& m, const PadHeights& pads_mm) {
    if (measured.struts_solid)
        return {solid_outputs(m), on_solid_struts(m, pads_mm, drawn_struts_mm(m.car)).stands.values};
    return {rest_outputs(m), rest(m, pads_mm).values};
}

ModelValues model_values(const Measured& measured, const RestModel& with_loads, const Car& car) {
    return values_on(measured, model_as_read(measured, with_loads, car),
                     measured.given.pad_height_mm.value_or(PadHeights{}));
}

Eigen::MatrixXd rates_by_pads(const Measured& measured, const RestModel& m, const PadHeights& pads_mm) {
    Eigen::MatrixXd rates;
    if (measured.struts_solid) {
        const SolidState solid = on_solid_struts(m, pads_mm, drawn_struts_mm(m.car));
        rates = solid_rates(m, solid.stands, pads_mm, solid_outputs(m), rest_variables(m));
    } else {
        rates = rest_rates(m, rest(m, pads_mm), pads_mm);
    }
    Eigen::MatrixXd by_pads(rates.rows(), corner_count);
    const std::vector<RestVariable> variables = rest_variables(m);
    for (std::size_t v = 0; v < variables.size(); ++v)
        if (variables[v].of == RestVariable::Of::pad)
            by_pads.col(static_cast<Eigen::Index>(variables[v].corner)) = rates.col(static_cast<Eigen::Index>(v));
    return by_pads;
}

}  // namespace shimwise
