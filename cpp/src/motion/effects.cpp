#include "shimwise/motion/effects.hpp"

#include "motion/steps.hpp"
#include "shimwise/workshop/choose/stock.hpp"

namespace shimwise {
namespace {

Outputs<double> difference(const Outputs<double>& a, const Outputs<double>& b) {
    Outputs<double> d{};
    for (std::size_t o = 0; o < output_count; ++o) d[o] = a[o] - b[o];
    return d;
}

Outputs<double> scaled(const Outputs<double>& a, double k) {
    Outputs<double> s{};
    for (std::size_t o = 0; o < output_count; ++o) s[o] = a[o] * k;
    return s;
}

/// The next thicker and the next thinner pack than the fitted one, as changes; 0 where the shims at hand give none.
std::pair<double, double> thinnest_steps(const Stack& stack, const std::vector<double>& box_mm) {
    const double now = stack.total_mm();
    double up = 0.0;
    double down = 0.0;
    for (const StackChoice& choice : stack_choices(stack.fitted_mm, box_mm, stack.limits_mm)) {
        const double change = choice.total_mm - now;
        if (change < -1e-9) down = change;
        if (change > 1e-9 && up == 0.0) up = change;
    }
    return {up, down};
}

}  // namespace

std::vector<std::pair<Per, double>> steps_of(const Car& car, const Adjuster& adjuster) {
    std::pair<double, double> up_and_down;
    if (const Thread* thread = adjuster.thread()) {
        const double step_mm = thread->step_turns * thread->lead_mm();
        up_and_down = {step_mm, -step_mm};
    } else {
        up_and_down = thinnest_steps(*adjuster.stack(), car.box_mm(*adjuster.stack()));
    }
    std::vector<std::pair<Per, double>> steps;
    if (up_and_down.first != 0.0) steps.emplace_back(Per::step_up, up_and_down.first);
    if (up_and_down.second != 0.0) steps.emplace_back(Per::step_down, up_and_down.second);
    return steps;
}

EffectTable effects(const Car& car, CornerId id, Held held, double travel_mm, double rack_mm, const Frame& frame) {
    const Corner& corner = car[id];
    const Setup now = setup(corner, rack_mm);
    EffectTable table;
    table.hold = {held, frame.z};
    table.held_value = present_value(now, table.hold, travel_mm);
    const Rates r = rates(now, table.hold, table.held_value, frame);
    table.values = r.values;

    for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
        const Adjuster& adjuster = corner.adjusters[a];
        if (const Thread* thread = adjuster.thread())
            table.rows.push_back({a, Per::turn, thread->lead_mm(), scaled(r.per_mm[a], thread->lead_mm())});
        for (const auto& [per, amount_mm] : steps_of(car, adjuster)) {
            Setup after = now;
            after.amounts_mm[a] += amount_mm;
            const Outputs<double> out = outputs_at(after, table.hold, table.held_value, frame);
            table.rows.push_back({a, per, amount_mm, difference(out, r.values)});
        }
        table.rows.push_back({a, Per::mm, 1.0, r.per_mm[a]});
    }
    return table;
}

std::string_view row_name(const Adjuster& adjuster, Per per) {
    const bool platform = adjuster.length() == Length::spring_platform;
    switch (per) {
        case Per::turn:
            return "turn";
        case Per::mm:
            return "mm";
        case Per::kg:
            return "kg";
        case Per::step_up:
            return adjuster.stack() ? "step thicker" : platform ? "step toward the spring" : "step longer";
        default:
            return adjuster.stack() ? "step thinner" : platform ? "step away from the spring" : "step shorter";
    }
}

}  // namespace shimwise
