#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/doubt/doubting.hpp"

namespace shimwise {
namespace {

struct Rows {
    UsualOf wanted, tolerance;
};

/// Nothing where the trade has no usual number.
std::optional<Rows> rows_of(const ValueId& id) {
    if (id.is(Output::spring_length)) return std::nullopt;
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

}  // namespace

std::vector<Doubt> doubts(const Targets& targets, const Measured& measured, const Car& given) {
    Doubting doubting(targets.file);
    const Car car = as_read(given, measured.read);
    for (const auto& [id, target] : targets.values) {
        const std::optional<Rows> rows = rows_of(id);
        if (!rows) continue;
        std::optional<double> is = measured.value(id);
        if (id.is(Output::caster)) is = outputs_on(measured.ground, car.corners[id.corner])[id.index];
        if (is)
            for (const std::optional<double>& wanted : {target.value, target.least, target.most})
                if (wanted) doubting.number(key(id), rows->wanted, *wanted - *is);
        if (target.value && !target.tolerance_is_common_practice)
            doubting.number(key(id), rows->tolerance, target.tolerance);
    }
    return doubting.take();
}

}  // namespace shimwise
