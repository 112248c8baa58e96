#include "workshop/choose/corner_problem.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/setting_variance.hpp"

namespace shimwise {
namespace {

constexpr double per_squared_step = 1e-6;  // of a squared tolerance: least movement settles what is left undetermined
constexpr double most_turns = 40.0;        // no rod is turned further in one go
constexpr double most_turns_without_limits = 10.0;
constexpr double same_total_mm = 1e-6;

struct OutputOf {
    Output output;
    Purpose purpose;
};
constexpr std::array<OutputOf, most_wanted> planned = {
    {{Output::toe, Purpose::toe}, {Output::camber, Purpose::camber}, {Output::caster, Purpose::caster}}};

std::string name_of(Output output) { return std::string(output_list[index(output)].name); }

std::vector<AllowedSetting> thread_settings(const Car& car, CornerId id, const Adjuster& adjuster,
                                            std::optional<std::size_t>& present) {
    const Thread& thread = *adjuster.thread();
    const bool limited = thread.limits_turns || thread.length_limits_mm || thread.engaged_mm;
    const auto most =
        static_cast<long>(std::floor((limited ? most_turns : most_turns_without_limits) / thread.step_turns + 1e-9));
    const double lead = thread.lead_mm();
    std::vector<AllowedSetting> settings;
    for (long k = -most; k <= most; ++k) {
        const auto steps = static_cast<double>(k);
        const double turns = thread.now_turns + steps * thread.step_turns;
        if (broken_limit(car, id, adjuster, turns)) continue;
        if (k == 0) present = settings.size();
        AllowedSetting allowed;
        allowed.setting = turns;
        allowed.amount_mm = turns * lead;
        allowed.steps = steps;
        allowed.variance_mm2 = setting_variance_mm2(adjuster, k == 0 ? 0 : 1);
        allowed.minutes = k == 0 ? 0.0 : adjuster.minutes;
        settings.push_back(std::move(allowed));
    }
    return settings;
}

void add_shared_lengths(CornerProblem& problem, const Car& car) {
    const Corner& corner = car[problem.id];
    std::map<Length, SharedLength> by_length;
    for (std::size_t u = 0; u < problem.unknowns.size(); ++u) {
        const Adjuster& adjuster = corner.adjusters[problem.unknowns[u].adjuster];
        if (!adjuster.length() || !adjuster.thread()) continue;
        SharedLength& shared =
            by_length.try_emplace(*adjuster.length(), SharedLength{{}, 0.0, -1e9, 1e9}).first->second;
        shared.unknowns.push_back(u);
        if (const auto& limits = adjuster.thread()->length_limits_mm) {
            shared.least_mm = std::max(shared.least_mm, limits->first);
            shared.most_mm = std::min(shared.most_mm, limits->second);
        }
    }
    for (auto& [length, shared] : by_length) {
        if (shared.unknowns.size() < 2) continue;
        shared.others_mm = drawn_length_mm(car, problem.id, length).value_or(0.0);
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
            const bool unknown = std::any_of(shared.unknowns.begin(), shared.unknowns.end(),
                                             [&](std::size_t u) { return problem.unknowns[u].adjuster == a; });
            if (!unknown && corner.adjusters[a].length() == length) shared.others_mm += corner.adjusters[a].amount_mm();
        }
        problem.shared_lengths.push_back(shared);
    }
}

void add_wanted(CornerProblem& problem, const Measured& measured, const Targets& targets,
                const Outputs<double>& model) {
    const std::string corner = std::string(corner_names[index(problem.id)]);
    for (const OutputOf& one : planned) {
        const std::string key = corner + "." + name_of(one.output);
        const auto target = target_of(targets, key);
        const auto value = measured.value(key);
        const bool from_model = one.output == Output::caster;
        if (!target) {
            if (value) problem.notes.push_back(key + " has no target: it is not planned, and moves with what is.");
            continue;
        }
        if (!value && !from_model) {
            problem.notes.push_back(key + " was not measured: it is not planned, and moves with what is.");
            continue;
        }
        WantedOutput wanted;
        const double by_model = model[index(one.output)];
        wanted.output.key = key;
        wanted.output.output = one.output;
        wanted.output.target = *target;
        wanted.output.measured = !from_model;
        wanted.output.asked = target->value.has_value();
        wanted.output.now = from_model ? by_model : *value;
        wanted.offset = wanted.output.now - by_model;
        if (target->value) wanted.price = 1.0 / target->tolerance;
        if (!from_model) {
            const auto i = static_cast<Eigen::Index>(*measured.find(key));
            wanted.variance = 2.0 * measured.repeat_covariance(i, i);
        }
        problem.wanted.push_back(std::move(wanted));
    }
}

bool asks_for(const CornerProblem& problem, Purpose purpose) {
    for (const OutputOf& one : planned)
        for (const WantedOutput& wanted : problem.wanted)
            if (one.purpose == purpose && wanted.output.output == one.output)
                return wanted.output.asked || !meets(wanted.output.target, wanted.output.now);
    return false;
}

/// Shims of every stack of the plan that draws on a box.
struct BoxUse {
    int stacks = 0;
    std::vector<double> fitted_mm;
};

}  // namespace

double CornerProblem::combinations() const {
    double count = 1.0;
    for (const Unknown& unknown : unknowns) count *= static_cast<double>(unknown.settings.size());
    return count;
}

bool nearer(const Candidate& a, const Candidate& b) {
    return a.violation != b.violation ? a.violation < b.violation : a.cost < b.cost;
}

bool less_work(const Candidate& a, const Candidate& b) {
    return a.minutes != b.minutes ? a.minutes < b.minutes : a.cost < b.cost;
}

double next_deviation(const CornerProblem& problem, const WantedOutput& wanted, const Combination& at) {
    double variance = wanted.variance;
    for (std::size_t u = 0; u < at.size(); ++u) {
        const double effect = wanted.per_mm(static_cast<Eigen::Index>(u));
        variance += effect * effect * problem.unknowns[u].settings[at[u]].variance_mm2;
    }
    return std::sqrt(variance);
}

Evaluator::Evaluator(const CornerProblem& problem)
    : problem_(problem), setup_(problem.now), hold_(problem.ground.hold()) {}

std::optional<Candidate> Evaluator::operator()(const Combination& at) {
    ++evaluated_;
    Candidate c;
    for (std::size_t u = 0; u < at.size(); ++u) {
        const Unknown& unknown = problem_.unknowns[u];
        const AllowedSetting& setting = unknown.settings[at[u]];
        setup_.amounts_mm[unknown.adjuster] = setting.amount_mm;
        c.cost += per_squared_step * setting.steps * setting.steps;
        c.minutes += setting.minutes;
    }
    for (const SharedLength& shared : problem_.shared_lengths) {
        double length_mm = shared.others_mm;
        for (const std::size_t u : shared.unknowns) length_mm += problem_.unknowns[u].settings[at[u]].amount_mm;
        if (!(length_mm >= shared.least_mm - 1e-9 && length_mm <= shared.most_mm + 1e-9)) return std::nullopt;
    }

    const Linkage<double> l = linkage(setup_.geometry, setup_.parts());
    const Position<double> found = position(l, hold_, problem_.ground.held_value(), arm_);
    Outputs<double> out;
    if (found.met) {
        const Strut<double> s = strut(l, found.pose);
        if (!(s.room > 0.0)) return std::nullopt;
        arm_ = found.arm;
        out = outputs(l, found.pose, s, problem_.ground.frame);
    } else {
        const Solved solved = solve(l, hold_, problem_.ground.held_value());
        if (solved.status != Status::ok) return std::nullopt;
        out = outputs(l, solved.pose, solved.strut, problem_.ground.frame);
    }

    c.within = c.guarded = true;
    for (std::size_t w = 0; w < problem_.wanted.size(); ++w) {
        const WantedOutput& wanted = problem_.wanted[w];
        const Target& target = wanted.output.target;
        const double predicted = out[index(wanted.output.output)] + wanted.offset;
        if (!std::isfinite(predicted)) return std::nullopt;
        c.predicted[w] = predicted;
        const double off = wanted.output.asked ? predicted - *target.value : 0.0;
        c.cost += wanted.price * wanted.price * off * off;
        if (target.least) c.violation += std::max(0.0, *target.least - predicted);
        if (target.most) c.violation += std::max(0.0, predicted - *target.most);
        c.within = c.within && meets(target, predicted);
        if (!c.within) continue;
        const double deviation = next_deviation(problem_, wanted, at);
        Target inside = target;
        if (inside.value) inside.tolerance -= std::min(deviation, 0.5 * target.tolerance);
        if (inside.least) *inside.least += deviation;
        if (inside.most) *inside.most -= deviation;
        c.guarded = c.guarded && meets(inside, predicted);
    }
    c.guarded = c.guarded && c.within;
    c.at = at;
    return c;
}

CornerProblem corner_problem(const Car& car, CornerId id, const Measured& measured, const Targets& targets) {
    CornerProblem problem;
    problem.id = id;
    problem.now = setup(car[id]);
    problem.ground = measured.ground;
    add_wanted(problem, measured, targets, outputs_on(measured.ground, car[id]));

    const Corner& corner = car[id];
    for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
        const Adjuster& adjuster = corner.adjusters[a];
        if (!asks_for(problem, adjuster.purpose)) continue;
        Unknown unknown;
        unknown.adjuster = a;
        if (const Thread* thread = adjuster.thread()) {
            unknown.settings = thread_settings(car, id, adjuster, unknown.present);
            unknown.step_mm = thread->step_turns * thread->lead_mm();
            const std::string key = adjuster_key(id, adjuster.name);
            if (!thread->limits_turns && !thread->length_limits_mm && !thread->engaged_mm)
                problem.notes.push_back(key + " has no limits in the car file: it was searched within " +
                                        fixed_words(most_turns_without_limits, 0) + " turns.");
            if (!unknown.present)
                problem.notes.push_back(key + " stands beyond its limits: " +
                                        broken_limit(car, id, adjuster, thread->now_turns)->rule + ".");
        }
        problem.unknowns.push_back(std::move(unknown));
    }
    add_shared_lengths(problem, car);

    const Rates r = rates(problem.now, problem.ground.hold(), problem.ground.held_value(), problem.ground.frame);
    for (WantedOutput& wanted : problem.wanted) {
        wanted.per_mm.resize(static_cast<Eigen::Index>(problem.unknowns.size()));
        for (std::size_t u = 0; u < problem.unknowns.size(); ++u)
            wanted.per_mm(static_cast<Eigen::Index>(u)) =
                r.per_mm[problem.unknowns[u].adjuster][index(wanted.output.output)];
    }
    return problem;
}

void fill_stacks(std::array<CornerProblem, corner_count>& problems, const Car& car) {
    std::map<std::string, BoxUse> uses;
    const auto each_stack = [&](auto&& visit) {
        for (CornerProblem& problem : problems)
            for (Unknown& unknown : problem.unknowns) {
                const Adjuster& adjuster = car[problem.id].adjusters[unknown.adjuster];
                if (const Stack* stack = adjuster.stack()) visit(problem, unknown, adjuster, *stack);
            }
    };
    each_stack([&](CornerProblem&, Unknown&, const Adjuster&, const Stack& stack) {
        if (stack.box.empty()) return;
        BoxUse& use = uses[stack.box];
        ++use.stacks;
        use.fitted_mm.insert(use.fitted_mm.end(), stack.fitted_mm.begin(), stack.fitted_mm.end());
    });
    each_stack([&](CornerProblem& problem, Unknown& unknown, const Adjuster& adjuster, const Stack& stack) {
        std::vector<double> at_hand = car.box_mm(stack);
        if (!stack.box.empty() && uses[stack.box].stacks > 1) {
            unknown.shared_box = stack.box;
            std::vector<double> others = uses[stack.box].fitted_mm;
            for (const double own : stack.fitted_mm) others.erase(std::find(others.begin(), others.end(), own));
            at_hand.insert(at_hand.end(), others.begin(), others.end());
        }
        double thinnest = 1.0;
        for (const double mm : at_hand) thinnest = std::min(thinnest, mm);
        for (const double mm : stack.fitted_mm) thinnest = std::min(thinnest, mm);
        unknown.step_mm = thinnest;
        const double now_mm = stack.total_mm();
        for (StackChoice& choice : stack_choices(stack.fitted_mm, at_hand, stack.limits_mm)) {
            const bool present = std::fabs(choice.total_mm - now_mm) <= same_total_mm;
            if (present) unknown.present = unknown.settings.size();
            AllowedSetting allowed;
            allowed.setting = choice.total_mm;
            allowed.amount_mm = choice.total_mm - stack.drawn_with_mm;
            allowed.steps = (choice.total_mm - now_mm) / thinnest;
            allowed.variance_mm2 = setting_variance_mm2(adjuster, choice.moved());
            allowed.minutes = present ? 0.0 : adjuster.minutes;
            allowed.shims = std::move(choice);
            unknown.settings.push_back(std::move(allowed));
        }
        if (!unknown.present)
            problem.notes.push_back(adjuster_key(problem.id, adjuster.name) + " stands beyond its limits: " +
                                    broken_limit(car, problem.id, adjuster, now_mm)->rule + ".");
    });
}

}  // namespace shimwise
