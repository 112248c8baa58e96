#include "shimwise/workshop/choose/plan.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "shimwise/error.hpp"
#include "shimwise/workshop/choose/expect.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/choose/refusal.hpp"
#include "workshop/choose/setting_variance.hpp"
#include "workshop/choose/shared_boxes.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double infinite = std::numeric_limits<double>::infinity();

using Problems = std::array<CornerProblem, corner_count>;

/// A corner's choice before it is told in full.
struct Pick {
    std::optional<Candidate> candidate;  // nothing: as it stands
    std::map<std::size_t, StackChoice> packs;
    Proof proof;
};
using PickOf = std::array<Pick, corner_count>;

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

/// The car with the settings of a plan's corners.
Car applied(Car car, const std::array<CornerPlan, corner_count>& corners) {
    std::map<std::string, std::vector<double>> moved_in, moved_out;
    for (const CornerPlan& corner : corners)
        for (const PlannedSetting& planned : corner.settings) {
            Adjuster& adjuster = car[planned.corner].adjusters[planned.adjuster];
            if (Thread* thread = std::get_if<Thread>(&adjuster.setting)) {
                thread->now_turns = planned.after;
                continue;
            }
            Stack& stack = std::get<Stack>(adjuster.setting);
            if (!planned.touched) continue;
            stack.fitted_mm = planned.shims.shims_mm;
            std::vector<double>& box = stack.box.empty() ? stack.box_mm : car.boxes_mm.at(stack.box);
            box.insert(box.end(), planned.shims.remove_mm.begin(), planned.shims.remove_mm.end());
        }
    // A shim may go from one stack to another: all are put back before any is taken out.
    for (const CornerPlan& corner : corners)
        for (const PlannedSetting& planned : corner.settings) {
            Adjuster& adjuster = car[planned.corner].adjusters[planned.adjuster];
            Stack* stack = std::get_if<Stack>(&adjuster.setting);
            if (!stack || !planned.touched) continue;
            std::vector<double>& box = stack->box.empty() ? stack->box_mm : car.boxes_mm.at(stack->box);
            for (const double mm : planned.shims.add_mm) {
                const auto same =
                    std::find_if(box.begin(), box.end(), [mm](double other) { return std::fabs(other - mm) <= 1e-9; });
                if (same != box.end()) box.erase(same);
            }
            std::sort(box.begin(), box.end());
        }
    return car;
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

double missed_mm2(const Adjuster& adjuster, const PlannedSetting& planned) {
    if (!planned.touched) return 0.0;
    return setting_variance_mm2(adjuster, adjuster.stack() ? planned.shims.moved() : 1);
}

/// What turning and changing adds to the covariance of two outputs of a corner.
double set_covariance(const CornerProblem& problem, const CornerPlan& plan, const Car& car, const WantedOutput& one,
                      const WantedOutput& other) {
    double covariance = 0.0;
    for (std::size_t u = 0; u < plan.settings.size(); ++u) {
        const PlannedSetting& planned = plan.settings[u];
        const auto at = static_cast<Index>(u);
        covariance +=
            one.per_mm(at) * other.per_mm(at) * missed_mm2(car[problem.id].adjusters[planned.adjuster], planned);
    }
    return covariance;
}

/// One output of the next reading: where it stands in Measured, at the corner, and among that corner's wanted ones.
struct Read {
    std::size_t measured, corner, wanted;
};

NextReading next_reading(const Measured& measured, const Problems& problems, const Car& car, const Choice& choice) {
    std::vector<Read> reads;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (std::size_t w = 0; w < problems[c].wanted.size(); ++w)
            if (problems[c].wanted[w].output.measured)
                reads.push_back({*measured.find(problems[c].wanted[w].output.key), c, w});
    const auto n = static_cast<Index>(reads.size());
    NextReading next;
    next.predicted = next.off = VectorXd::Zero(n);
    next.lower = VectorXd::Constant(n, -infinite);
    next.upper = next.tolerance = VectorXd::Constant(n, infinite);
    next.covariance = Eigen::MatrixXd::Zero(n, n);
    for (Index i = 0; i < n; ++i) {
        const Read& a = reads[static_cast<std::size_t>(i)];
        const PlannedOutput& output = choice.corners[a.corner].outputs[a.wanted];
        next.keys.push_back(output.key);
        next.predicted(i) = output.predicted;
        const Target& target = output.target;
        if (target.value) {
            next.off(i) = output.predicted - *target.value;
            next.tolerance(i) = target.tolerance;
            next.lower(i) = *target.value - target.tolerance;
            next.upper(i) = *target.value + target.tolerance;
        }
        if (target.least) next.lower(i) = std::max(next.lower(i), *target.least);
        if (target.most) next.upper(i) = std::min(next.upper(i), *target.most);
        for (Index j = 0; j < n; ++j) {
            const Read& b = reads[static_cast<std::size_t>(j)];
            next.covariance(i, j) =
                2.0 * measured.repeat_covariance(static_cast<Index>(a.measured), static_cast<Index>(b.measured));
            if (a.corner == b.corner)
                next.covariance(i, j) +=
                    set_covariance(problems[a.corner], choice.corners[a.corner], car,
                                   problems[a.corner].wanted[a.wanted], problems[a.corner].wanted[b.wanted]);
        }
    }
    return next;
}

DerivedOutput derived(const ExpectedTotal& total, const Targets& targets) {
    DerivedOutput out;
    out.key = total.key;
    out.unit = "deg";
    out.now = total.now_deg;
    out.predicted = total.then_deg;
    out.target = target_of(targets, total.key);
    if (out.target) out.within = meets(*out.target, out.predicted);
    return out;
}

/// A choice told in full: what it predicts is that of the whole car once it stands again, whatever the search said of
/// each corner by itself.
Choice told(const Car& car, const Measured& measured, const Targets& targets, const Problems& problems,
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
            output.predicted = output.now + change[index(output.output)];
            output.within = meets(output.target, output.predicted);
            corner.within = corner.within && output.within;
            corner.outputs.push_back(std::move(output));
        }
        choice.within = choice.within && corner.within;
    }
    choice.next = next_reading(measured, problems, car, choice);
    for (std::size_t i = 0; i < choice.next.keys.size(); ++i)
        for (CornerPlan& corner : choice.corners)
            for (PlannedOutput& output : corner.outputs)
                if (output.key == choice.next.keys[i])
                    output.uncertainty =
                        std::sqrt(choice.next.covariance(static_cast<Index>(i), static_cast<Index>(i)));
    for (const ExpectedTotal& total : expected_totals(measured, toe_change))
        choice.derived.push_back(derived(total, targets));
    return choice;
}

using Searches = std::array<CornerSearch, corner_count>;

/// The next best at one corner, the others as picked.
void find_second(const Car& car, const std::vector<const CornerProblem*>& corners,
                 const std::vector<const CornerSearch*>& searches, const Picks& picks, std::size_t c, Pick& pick) {
    std::optional<Candidate> second = picks[c]->second;
    for (const Option& option : searches[c]->options) {
        if (&option == picks[c]) continue;
        if (second && !nearer(option.closest, *second)) break;
        Picks others = picks;
        others[c] = &option;
        if (!pack(car, corners, others)) continue;
        second = option.closest;
        break;
    }
    if (!second) return;
    pick.proof.second_cost = second->cost;
    for (std::size_t u = 0; u < second->at.size(); ++u)
        pick.proof.second_settings.push_back(corners[c]->unknowns[u].settings[second->at[u]].setting);
}

struct Group {
    std::vector<std::size_t> members;
    std::vector<const CornerProblem*> problems;
    std::vector<const CornerSearch*> searches;
};

using Best = std::function<const std::optional<Candidate>&(std::size_t, const Option&)>;

/// The best of a group with `best` of each option, or nothing where some corner has none or the shims do not make it.
std::optional<Together> least_of(const Car& car, const Group& group, const Best& best) {
    return best_together(
        car, group.problems, group.searches,
        [&](std::size_t i, const Option& o) {
            const std::optional<Candidate>& c = best(i, o);
            return c ? std::optional<Key>(Key{c->minutes, c->cost}) : std::nullopt;
        },
        true);
}

bool any(const CornerSearch& search, const std::optional<Candidate> Option::* best) {
    return std::any_of(search.options.begin(), search.options.end(),
                       [best](const Option& o) { return (o.*best).has_value(); });
}

/// What the search of all corners comes to.
struct Answers {
    PickOf nothing, closest, least;
    bool least_everywhere = true;
    std::vector<std::string> refusals, notes;
};

void choose_least_work(const Car& car, const Group& group, Answers& answers) {
    std::vector<bool> guarded;
    for (const CornerSearch* one : group.searches) guarded.push_back(any(*one, &Option::guarded));
    const Best best = [&](std::size_t i, const Option& o) -> const std::optional<Candidate>& {
        return guarded[i] ? o.guarded : o.within;
    };
    std::optional<Together> work = least_of(car, group, best);
    if (!work) {
        guarded.assign(guarded.size(), false);
        work = least_of(car, group, best);
    }
    if (work) {
        for (std::size_t i = 0; i < group.members.size(); ++i) {
            const std::size_t c = group.members[i];
            answers.least[c] = {best(i, *work->picks[i]), work->packs.by_unknown[c], group.searches[i]->proof};
            if (!guarded[i])
                answers.notes.push_back(std::string(corner_names[c]) +
                                        ": nothing lies inside tolerance less what the next reading may be off; the "
                                        "least work was sought in the whole tolerance.");
        }
        return;
    }
    answers.least_everywhere = false;
    const bool each_alone = std::all_of(group.searches.begin(), group.searches.end(),
                                        [](const CornerSearch* one) { return any(*one, &Option::within); });
    for (std::size_t i = 0; i < group.members.size(); ++i) {
        const Pick& nearest = answers.closest[group.members[i]];
        if (each_alone ? !nearest.candidate->within : !any(*group.searches[i], &Option::within))
            answers.refusals.push_back(refusal(car, *group.problems[i], *nearest.candidate, nearest.proof.stock_bound));
    }
}

void choose(const Car& car, const Group& group, Answers& answers) {
    const auto near = best_together(
        car, group.problems, group.searches,
        [](std::size_t, const Option& o) { return Key{o.closest.violation, o.closest.cost}; }, false);
    if (!near) {
        answers.refusals.push_back(std::string(corner_names[group.members[0]]) +
                                   ": the shims at hand do not make the stacks of the corners that share them.");
        answers.least_everywhere = false;
        return;
    }
    for (std::size_t i = 0; i < group.members.size(); ++i) {
        Pick& pick = answers.closest[group.members[i]];
        pick = {near->picks[i]->closest, near->packs.by_unknown[group.members[i]], group.searches[i]->proof};
        pick.proof.stock_bound = near->picks[i] != &group.searches[i]->options.front();
        find_second(car, group.problems, group.searches, near->picks, i, pick);
    }
    choose_least_work(car, group, answers);
}

/// Search every corner, then choose group by group.
Answers answers_of(const Car& car, const Problems& problems, const PlanOptions& options) {
    Answers answers;
    Searches searches;
    for (std::size_t c = 0; c < corner_count; ++c) {
        searches[c] = search(problems[c], options);
        answers.nothing[c] = {searches[c].nothing, {}, searches[c].proof};
        answers.closest[c].proof = answers.least[c].proof = searches[c].proof;
        answers.notes.insert(answers.notes.end(), problems[c].notes.begin(), problems[c].notes.end());
    }
    for (const std::vector<std::size_t>& members : groups_of(problems)) {
        Group group;
        for (const std::size_t c : members) {
            if (searches[c].options.empty()) {
                answers.refusals.push_back(no_setting(car, problems[c]));
                answers.least_everywhere = false;
                continue;
            }
            group.members.push_back(c);
            group.problems.push_back(&problems[c]);
            group.searches.push_back(&searches[c]);
        }
        if (!group.members.empty()) choose(car, group, answers);
    }
    return answers;
}

bool asks_for_height_or_weight(const Targets& targets) {
    const auto& car = targets.car;
    return !targets.ride_heights.empty() || std::any_of(car.begin(), car.end(), [](const auto& one) {
        return one.first != "total_toe_front" && one.first != "total_toe_rear" && one.first != "thrust_angle";
    });
}

}  // namespace

const Choice* Plan::choice(Which which) const {
    if (which == Which::nothing) return &nothing;
    if (which == Which::closest) return &closest;
    return least_work ? &*least_work : nullptr;
}

Plan plan(const Car& given, const Measured& measured, const Targets& targets, const PlanOptions& options) {
    const Car car = as_read(given, measured.read);
    Plan plan;
    plan.measured = measured;
    plan.compared = compare(measured, targets);

    Problems problems;
    for (std::size_t c = 0; c < corner_count; ++c)
        problems[c] = corner_problem(car, static_cast<CornerId>(c), measured, targets);
    fill_stacks(problems, car);
    Answers answers = answers_of(car, problems, options);
    plan.refusals = std::move(answers.refusals);
    plan.notes = std::move(answers.notes);

    plan.nothing = told(car, measured, targets, problems, answers.nothing);
    plan.closest = told(car, measured, targets, problems, answers.closest);
    if (answers.least_everywhere) plan.least_work = told(car, measured, targets, problems, answers.least);
    plan.notes.push_back(whole_car_words(plan.closest.whole, car));
    for (const DerivedOutput& output : plan.closest.derived)
        if (output.within && !*output.within)
            plan.notes.push_back(output.key + " is predicted outside its target: each corner is planned by itself.");
    if (asks_for_height_or_weight(targets))
        plan.notes.emplace_back(
            "Heights and weights are compared and predicted, not planned yet: one corner's pushrod moves all four.");
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
