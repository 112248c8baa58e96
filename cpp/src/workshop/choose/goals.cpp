#include "workshop/choose/goals.hpp"

#include "workshop/choose/spread.hpp"

namespace shimwise {

Goals goals_of(CornerId corner, const Measured& measured, const Targets& targets, const Outputs<double>& model) {
    Goals goals;
    for (std::size_t o = 0; o < output_count; ++o) {
        if (!output_list[o].target) continue;
        const auto output = static_cast<Output>(o);
        const ValueId id(corner, output);
        const auto target = target_of(targets, id);
        const auto value = measured.value(id);
        const bool from_model = output == Output::caster;
        if (!target) {
            if (value) goals.notes.push_back(key(id) + " has no target: it is not planned, and moves with what is.");
            continue;
        }
        if (!value && !from_model) {
            goals.notes.push_back(key(id) + " was not measured: it is not planned, and moves with what is.");
            continue;
        }
        WantedOutput wanted;
        const double by_model = model[o];
        wanted.output.id = id;
        wanted.output.target = *target;
        wanted.output.measured = !from_model;
        wanted.output.asked = target->value.has_value();
        wanted.output.now = from_model ? by_model : *value;
        wanted.offset = wanted.output.now - by_model;
        if (target->value) wanted.price = 1.0 / target->tolerance;
        if (!from_model) {
            const std::size_t i = *measured.find(id);
            wanted.variance = anew_twice(measured, i, i);
        }
        goals.wanted.push_back(std::move(wanted));
    }
    return goals;
}

bool asks_for(const std::vector<WantedOutput>& wanted, Purpose purpose) {
    for (const WantedOutput& one : wanted)
        if (info(one.output.id).purpose == purpose)
            return one.output.asked || !meets(one.output.target, one.output.now);
    return false;
}

}  // namespace shimwise
