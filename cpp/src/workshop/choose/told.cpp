#include "workshop/choose/told.hpp"

#include <cmath>

#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/choose/expect.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/choose/next_reading.hpp"

namespace shimwise {
namespace {

using Eigen::Index;

PlannedSetting planned_setting(const Car& car, const CornerProblem& problem, std::size_t u, const Pick& pick) {
    const Unknown& unknown = problem.unknowns[u];
    const Adjuster& adjuster = car[problem.id].adjusters[unknown.adjuster];
    PlannedSetting planned;
    planned.corner = problem.id;
    planned.adjuster = unknown.adjuster;
    planned.key = adjuster_key(problem.id, adjuster.name);
    planned.purpose = adjuster.purpose;
    const Stack* stack = adjuster.stack();
    planned.before = stack ? stack->total_mm() : adjuster.thread()->now_turns;
    planned.after = planned.before;
    if (stack) {
        planned.shims.total_mm = planned.before;
        planned.shims.shims_mm = stack->fitted_mm;
    }
    if (!pick.candidate) return planned;
    const AllowedSetting& setting = unknown.settings[pick.candidate->at[u]];
    planned.after = setting.setting;
    planned.touched = unknown.present != pick.candidate->at[u];
    if (stack) {
        const auto together = pick.packs.find(u);
        planned.shims = together != pick.packs.end() ? together->second : *setting.shims;
        planned.touched = planned.shims.moved() > 0;
    }
    if (planned.touched) planned.minutes = adjuster.minutes;
    return planned;
}

CornerPlan corner_plan(const Car& car, const CornerProblem& problem, const Pick& pick) {
    CornerPlan plan;
    for (std::size_t u = 0; u < problem.unknowns.size(); ++u) {
        plan.settings.push_back(planned_setting(car, problem, u, pick));
        plan.minutes += plan.settings.back().minutes;
    }
    plan.proof = pick.proof;
    if (pick.candidate) {
        plan.cost = pick.candidate->cost;
        plan.guarded = pick.candidate->guarded;
    }
    return plan;
}

DerivedOutput derived(const ExpectedTotal& total, const Targets& targets) {
    DerivedOutput out;
    out.id = total.id;
    out.now = total.now_deg;
    out.predicted = total.then_deg;
    out.target = target_of(targets, total.id);
    if (out.target) out.within = meets(*out.target, out.predicted);
    return out;
}

}  // namespace

Car applied(Car car, const std::array<CornerPlan, corner_count>& corners) {
    std::vector<PackAt> packs;
    for (const CornerPlan& corner : corners)
        for (const PlannedSetting& planned : corner.settings) {
            if (Thread* thread = std::get_if<Thread>(&car[planned.corner].adjusters[planned.adjuster].setting))
                thread->now_turns = planned.after;
            else if (planned.touched)
                packs.push_back({{planned.corner, planned.adjuster}, planned.shims});
        }
    return with_packs(std::move(car), packs);
}

Choice told(const Car& car, const Measured& measured, const Targets& targets, const CornerProblems& problems,
            const PickOf& picks) {
    Choice choice;
    for (std::size_t c = 0; c < corner_count; ++c) {
        choice.corners[c] = corner_plan(car, problems[c], picks[c]);
        choice.minutes += choice.corners[c].minutes;
        choice.cost += choice.corners[c].cost;
        for (const PlannedSetting& setting : choice.corners[c].settings)
            choice.touches = choice.touches || setting.touched;
    }
    choice.whole = whole_car_change(measured, car, applied(car, choice.corners));
    std::array<double, corner_count> toe_change{};
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Outputs<double>& change = choice.whole.change[c];
        toe_change[c] = change[index(Output::toe)];
        CornerPlan& corner = choice.corners[c];
        for (const WantedOutput& wanted : problems[c].wanted) {
            PlannedOutput output = wanted.output;
            output.predicted = output.now + change[output.id.index];
            output.within = meets(output.target, output.predicted);
            corner.within = corner.within && output.within;
            corner.outputs.push_back(std::move(output));
        }
        choice.within = choice.within && corner.within;
    }
    choice.next = next_reading(measured, problems, car, choice);
    for (std::size_t i = 0; i < choice.next.ids.size(); ++i)
        for (CornerPlan& corner : choice.corners)
            for (PlannedOutput& output : corner.outputs)
                if (output.id == choice.next.ids[i])
                    output.uncertainty =
                        std::sqrt(choice.next.covariance(static_cast<Index>(i), static_cast<Index>(i)));
    for (const ExpectedTotal& total : expected_totals(measured, toe_change))
        choice.derived.push_back(derived(total, targets));
    for (const DerivedOutput& output : choice.derived) choice.within = choice.within && output.within.value_or(true);
    return choice;
}

}  // namespace shimwise
