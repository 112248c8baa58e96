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

ModelValues model_values(const Measured& measured, const RestModel& with_loads, const Car& car) {
    RestModel m = with_ballast(with_loads, measured.ballast_kg);
    for (std::size_t c = 0; c < corner_count; ++c) m.setups[c].amounts_mm = car.corners[c].amounts_mm();
    const PadHeights pads_mm = measured.given.pad_height_mm.value_or(PadHeights{});
    if (measured.struts_solid)
        return {solid_outputs(m), on_solid_struts(m, pads_mm, drawn_struts_mm(m.car)).stands.values};
    return {rest_outputs(m), rest(m, pads_mm).values};
}

}  // namespace shimwise
