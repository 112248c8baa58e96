#include "shimwise/workshop/choose/plan.hpp"

#include <algorithm>

#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/choose/told.hpp"

namespace shimwise {
namespace {

std::vector<Doubt> all_doubts(const Car& car, const Measured& measured, const Targets& targets,
                              std::vector<Doubt> found) {
    for (const std::vector<Doubt>& more : {doubts(car), doubts(measured, car), doubts(targets, measured, car)})
        found.insert(found.end(), more.begin(), more.end());
    return found;
}

bool asks_for_height_or_weight(const Targets& targets) {
    return std::any_of(targets.values.begin(), targets.values.end(),
                       [](const auto& one) { return info(one.first).kind != ValueKind::alignment; });
}

}  // namespace

const Choice* Plan::choice(Which which) const {
    if (which == Which::nothing) return &nothing;
    if (which == Which::closest) return &closest;
    return least_work ? &*least_work : nullptr;
}

Plan plan(const Car& given, const Measured& measured, const Targets& targets, const PlanOptions& options,
          const std::vector<Doubt>& known) {
    const Car car = as_read(given, measured.read);
    Plan plan;
    plan.measured = measured;
    plan.compared = compare(measured, targets);
    plan.unread = unread(plan.compared);
    plan.doubts = all_doubts(given, measured, targets, known);

    CornerProblems problems;
    for (std::size_t c = 0; c < corner_count; ++c)
        problems[c] = corner_problem(car, static_cast<CornerId>(c), measured, targets);
    fill_stacks(problems, car);
    Answers answers = answers_of(car, problems, options);
    plan.refusals = std::move(answers.refusals);
    plan.notes = std::move(answers.notes);

    plan.nothing = told(car, measured, targets, problems, answers.nothing);
    plan.closest = told(car, measured, targets, problems, answers.closest);
    if (answers.least_everywhere) plan.least_work = told(car, measured, targets, problems, answers.least);
    if (!plan.unread.empty())
        for (Choice* choice : {&plan.nothing, &plan.closest, plan.least_work ? &*plan.least_work : nullptr})
            if (choice) choice->within = false;
    plan.notes.push_back(whole_car_words(plan.closest.whole, car));
    for (const DerivedOutput& output : plan.closest.derived)
        if (output.within && !*output.within)
            plan.notes.push_back(key(output.id) +
                                 " is predicted outside its target: each corner is planned by itself.");
    if (asks_for_height_or_weight(targets))
        plan.notes.push_back(
            "Heights and weights are compared and predicted, not planned yet: one corner's " +
            std::string(std::ranges::all_of(car.corners, &Corner::has_pull_rod) ? "pull rod" : "pushrod") +
            " moves all four.");
    return plan;
}

Car car_after(const Car& car, const Plan& plan, Which which) {
    const Choice* choice = plan.choice(which);
    if (!choice) throw OutOfReach("this plan has no choice inside tolerance");
    return applied(as_read(car, plan.measured.read), choice->corners);
}

Settings settings_after(const Car& car, const Plan& plan, Which which) {
    return settings_of(car_after(car, plan, which));
}

}  // namespace shimwise
