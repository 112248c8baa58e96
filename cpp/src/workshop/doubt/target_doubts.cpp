#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/doubt/doubting.hpp"
#include "workshop/measure/by_model.hpp"

namespace shimwise {
namespace {

struct Rows {
    UsualOf wanted, tolerance;
};

/// Nothing where the trade has no usual number.
std::optional<Rows> rows_of(const ValueId& id) {
    if (id.is(Output::spring_length)) return Rows{UsualOf::spring_wanted, UsualOf::height_tolerance};
    if (id.is(Output::caster) || id.is(CarOutput::caster_difference_front))
        return Rows{UsualOf::caster_wanted, UsualOf::camber_tolerance};
    if (id.is(Output::camber) || id.is(CarOutput::camber_difference_front) || id.is(CarOutput::camber_difference_rear))
        return Rows{UsualOf::camber_wanted, UsualOf::camber_tolerance};
    const std::string_view unit = info(id).unit;
    if (unit == "mm") return Rows{UsualOf::height_wanted, UsualOf::height_tolerance};
    if (unit == "kg") return Rows{UsualOf::weight_wanted, UsualOf::weight_tolerance};
    if (unit == "percent") return Rows{UsualOf::share_wanted, UsualOf::share_tolerance};
    if (unit == "deg") return Rows{UsualOf::toe_wanted, UsualOf::toe_tolerance};
    return std::nullopt;
}

/// A spring is as long as its load makes it, not as drawn under the wheel. Nothing where the car does not stand, which
/// the doubts of the car say.
std::optional<double> spring_mm(const ValueId& id, const Measured& measured, const Car& car) {
    try {
        return value(model_values(measured, rest_model(as_it_stood(car, measured)), car).values, id);
    } catch (const OutOfReach&) {
        return std::nullopt;
    }
}

/// Nothing where nothing answers it. Precondition: it has rows.
std::optional<double> is_now(const ValueId& id, const Measured& measured, const Car& car) {
    const ValueInfo& of = info(id);
    if (!of.by_model) return measured.value(id);
    if (id.is(Output::spring_length)) return spring_mm(id, measured, car);
    const auto on_ground = [&](std::size_t c, std::size_t output) {
        return outputs_on(measured.ground, car.corners[c])[output];
    };
    if (!sums_wheels(of)) return on_ground(id.corner, id.index);
    return sum_over_wheels(of, [&](std::size_t c) { return on_ground(c, index(of.sum_of)); });
}

}  // namespace

std::vector<Doubt> doubts(const Targets& targets, const Measured& measured, const Car& given) {
    Doubting doubting(targets.file);
    if (targets.struts_solid && *targets.struts_solid != measured.struts_solid)
        doubting.said("state.struts", std::string(*targets.struts_solid ? "solid when it was accepted, springs"
                                                                        : "springs when it was accepted, solid") +
                                          " as it was read now: heights compare only where both are of one length");
    const Car car = as_read(given, measured.read);
    for (const auto& [id, target] : targets.values) {
        const std::optional<Rows> rows = rows_of(id);
        if (!rows) continue;
        const std::optional<double> is = is_now(id, measured, car);
        const bool limits_too = rows->wanted != UsualOf::spring_wanted;  // a damper may end far from where it stands
        const auto number = [&](const std::optional<double>& wanted) {
            if (is && wanted) doubting.number(key(id), rows->wanted, *wanted - *is);
        };
        number(target.value);
        if (limits_too) number(target.least), number(target.most);
        if (target.value && !target.tolerance_is_common_practice)
            doubting.number(key(id), rows->tolerance, target.tolerance);
    }
    return doubting.take();
}

}  // namespace shimwise
