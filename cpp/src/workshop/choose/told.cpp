#include "workshop/choose/told.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/choose/next_reading.hpp"

namespace shimwise {
namespace {

PlannedSetting planned(const WholeProblem& problem, const WholePlan& plan, std::size_t m, std::size_t p) {
    const Movable& one = problem.movables().all[m];
    const AdjusterPlace& place = one.places[p];
    const Adjuster& adjuster = problem.car()[place.corner].adjusters[place.adjuster];
    PlannedSetting setting;
    setting.corner = place.corner;
    setting.adjuster = place.adjuster;
    setting.key = adjuster_key(place.corner, adjuster.name);
    setting.purpose = adjuster.purpose;
    const Stack* stack = adjuster.stack();
    setting.before = stack ? stack->total_mm() : adjuster.thread()->now_turns;
    setting.after = setting.before;
    setting.touched = one.present != plan.at[m];
    if (stack) {
        setting.shims.total_mm = setting.before;
        setting.shims.shims_mm = stack->fitted_mm;
        for (const PackAt& pack : plan.packs)
            if (pack.stack.corner == place.corner && pack.stack.adjuster == place.adjuster) {
                setting.shims = pack.shims;
                setting.touched = pack.shims.moved() > 0;
            }
    }
    if (setting.touched) {
        setting.after = one.settings[p][plan.at[m]].setting;
        setting.minutes = adjuster.minutes;
    }
    return setting;
}

PlannedValue told_value(const Wanted& one, double then) {
    PlannedValue value;
    value.id = one.id;
    value.asks = one.asks;
    value.target = one.target;
    value.measured = one.measured;
    value.now = one.now;
    value.then = then;
    value.within = meets(one.target, then);
    return value;
}

/// All but its settings.
void tell(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan, double model_share,
          Choice& choice) {
    choice.cost = plan.cost;
    choice.within = plan.within;
    for (std::size_t w = 0; w < problem.wanted().size(); ++w)
        choice.values.push_back(told_value(problem.wanted()[w], plan.then(static_cast<Eigen::Index>(w))));
    choice.whole = whole_car_change(problem.measured(), problem.car(), applied(problem.car(), choice.settings));
    choice.next = next_reading(problem, linear, plan, model_share);
    for (std::size_t w = 0; w < choice.values.size(); ++w)
        choice.values[w].deviation = next_deviation(problem, linear, plan, model_share, w);
}

}  // namespace

std::vector<PlannedSetting> planned_settings(const WholeProblem& problem, const WholePlan& plan) {
    std::vector<PlannedSetting> settings;
    for (std::size_t m = 0; m < plan.at.size(); ++m)
        for (std::size_t p = 0; p < problem.movables().all[m].places.size(); ++p)
            settings.push_back(planned(problem, plan, m, p));
    std::stable_sort(settings.begin(), settings.end(), [](const PlannedSetting& a, const PlannedSetting& b) {
        return a.corner != b.corner ? a.corner < b.corner : a.adjuster < b.adjuster;
    });
    return settings;
}

Car applied(Car car, const std::vector<PlannedSetting>& settings) {
    std::vector<PackAt> packs;
    for (const PlannedSetting& planned : settings) {
        if (!planned.touched) continue;
        if (Thread* thread = std::get_if<Thread>(&car[planned.corner].adjusters[planned.adjuster].setting))
            thread->now_turns = planned.after;
        else
            packs.push_back({{planned.corner, planned.adjuster}, planned.shims});
    }
    return with_packs(std::move(car), packs);
}

Choice told_untouched(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& as_it_stands) {
    Choice choice;
    choice.settings = planned_settings(problem, as_it_stands);
    for (PlannedSetting& setting : choice.settings) {
        setting.after = setting.before;
        setting.touched = false;
        setting.minutes = 0.0;
    }
    tell(problem, linear, as_it_stands, 0.0, choice);
    return choice;
}

Choice told(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan, double model_share) {
    Choice choice;
    choice.settings = planned_settings(problem, plan);
    for (const PlannedSetting& setting : choice.settings) {
        choice.minutes += setting.minutes;
        choice.touches = choice.touches || setting.touched;
    }
    tell(problem, linear, plan, model_share, choice);
    return choice;
}

}  // namespace shimwise
