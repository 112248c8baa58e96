#include "shimwise/workshop/choose/plan.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/least_work.hpp"
#include "workshop/choose/linear_plan.hpp"
#include "workshop/choose/next_reading.hpp"
#include "workshop/choose/real_best.hpp"
#include "workshop/choose/solve_whole.hpp"
#include "workshop/choose/told.hpp"

namespace shimwise {
namespace {

constexpr std::size_t told_runners_up = 5;
constexpr double nearly_as_good = 1.01;  // of the best's cost
constexpr double quick_accuracy = 1e-3;  // of a chance
constexpr double told_gain = 0.01;       // of a squared tolerance

std::vector<Doubt> all_doubts(const Car& car, const Measured& measured, const Targets& targets,
                              std::vector<Doubt> found) {
    for (const std::vector<Doubt>& more : {doubts(car), doubts(measured, car), doubts(targets, measured, car)})
        found.insert(found.end(), more.begin(), more.end());
    return found;
}

bool wants_bar_torque(const Targets& targets) {
    return target_of(targets, CarOutput::front_bar_torque) || target_of(targets, CarOutput::rear_bar_torque);
}

double quick_chance(const NextReading& next) {
    return probability_in_box(next.predicted, next.covariance, next.lower, next.upper, quick_accuracy).value;
}

/// A plan of the whole car while it is made.
class Planner {
public:
    Planner(const Car& car, const Measured& measured, const Targets& targets, const PlanOptions& options, Plan& plan)
        : car_(car), options_(options), plan_(plan), selection_(selected(car, targets, options)), held_(car, measured) {
        const Part part = part_of(car_, measured, targets, selection_, held_);
        plan_.notes.insert(plan_.notes.end(), part.notes.begin(), part.notes.end());
        plan_.unpredicted = part.unpredicted;
        keeps_what_is_asked(targets);
        auto solved = solve_whole(car_, measured, held_, part, selection_, options_);
        if (!solved)
            throw OutOfReach("nothing can be planned: the car does not stand at any setting inside the limits" +
                             (options_.within_minutes
                                  ? " that takes no more than " + fixed_words(*options_.within_minutes, 0) + " minutes"
                                  : ""));
        solved_ = std::move(*solved);
    }

    void write() {
        WholeProblem& problem = *solved_.problem;
        Closest& closest = solved_.closest;
        std::optional<LeastWork> least;
        if (solved_.inside) {
            const NextReading next = next_reading(problem, *closest.linear, *solved_.inside, options_.model_share);
            least = least_work(problem, *closest.linear, *solved_.inside, quick_chance(next), options_.model_share);
            search_again();
            if (meets_all(closest.best) && !(closest.best.minutes > least->plan.minutes)) least->plan = closest.best;
        }
        plan_.closest = choice(closest.best);
        plan_.closest.proof = closest.proof;
        plan_.closest.proof.states = problem.states();
        plan_.nothing = nothing();
        if (least) {
            plan_.least_work = choice(least->plan);
            plan_.least_work->proof = plan_.closest.proof;
            plan_.least_work_proven = least->proven;
        }
        plan_.rounded = rounded();
        runners_up();
        held();
        plan_.linear = linear_plan(*solved_.problem, plan_.closest.settings, solved_.part, selection_, held_);
        notes();
    }

private:
    Choice choice(const WholePlan& plan) const {
        return told(*solved_.problem, *solved_.closest.linear, plan, options_.model_share);
    }

    void keeps_what_is_asked(const Targets& targets) {
        std::vector<std::string> asked;
        for (const ValueId& id : selection_.keep)
            if (const auto target = target_of(targets, id); target && target->value) asked.push_back(key(id));
        if (!asked.empty())
            plan_.notes.push_back("keep: " + listed_words(asked) + (asked.size() == 1 ? " is" : " are") +
                                  " asked for; the tolerance of the target counts.");
    }

    /// Where another search came upon a better plan, from there again.
    void search_again() {
        WholeProblem& problem = *solved_.problem;
        const std::vector<const WholePlan*> known = problem.nearest_known(1);
        if (known.empty() || !nearer(*known[0], solved_.closest.best)) return;
        if (auto again = closest(problem, problem.allowed(), {}, known[0]->at)) solved_.closest = std::move(*again);
    }

    /// The car as it stands; where that breaks a limit it is none of the plans, and told all the same.
    Choice nothing() const {
        WholePlan plan;
        WholeProblem& problem = *solved_.problem;
        plan.at = problem.present();
        plan.untouched = true;
        plan.then.resize(static_cast<Eigen::Index>(problem.wanted().size()));
        for (std::size_t w = 0; w < problem.wanted().size(); ++w)
            plan.then(static_cast<Eigen::Index>(w)) = problem.wanted()[w].now;
        plan.cost = misfit(problem.wanted(), plan.then);
        plan.within = meets_targets(problem.wanted(), plan.then);
        return told_untouched(problem, *solved_.closest.linear, plan);
    }

    std::optional<Choice> rounded() const {
        WholeProblem& problem = *solved_.problem;
        const WholeLinear& linear = *solved_.closest.linear;
        const WholePlan* plan = problem.plan(problem.combination(real_best(linear.A, linear.b, problem.allowed()).x));
        if (!plan) return std::nullopt;
        return choice(*plan);
    }

    void runners_up() {
        for (const WholePlan* one : solved_.problem->nearest_known(told_runners_up + 1)) {
            if (one->at == solved_.closest.best.at || one->misses > solved_.closest.best.misses) continue;
            if (!(one->cost <= nearly_as_good * solved_.closest.best.cost) && !plan_.runners_up.empty()) break;
            RunnerUp other{planned_settings(*solved_.problem, *one), one->cost, one->minutes, one->within};
            std::erase_if(other.settings, [](const PlannedSetting& setting) { return !setting.touched; });
            plan_.runners_up.push_back(std::move(other));
        }
    }

    void held() {
        const double known = solved_.closest.best.cost;
        for (const OfPurpose& of : solved_.part.held) {
            HeldPurpose told{of.purpose, {}, 0.0};
            for (const AdjusterPlace& place : of.places)
                if (!Selection::holds(solved_.part.turned, place))
                    told.keys.push_back(adjuster_key(place.corner, car_[place.corner].adjusters[place.adjuster].name));
            if (told.keys.empty()) continue;
            Part with = solved_.part;
            Selection::add(with.turned, of.places);
            WholeProblem problem(car_, solved_.problem->measured(), held_,
                                 movables(car_, with.turned, {}, selection_.force), with.wanted, {});
            const Combination about = problem.with(plan_.closest.settings);
            if (!problem.plan(about)) continue;
            const auto slack = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(with.wanted.size()));
            const WholeLinear linear = problem.linear_about(about, slack);
            if (moves_what_is_asked(problem, linear, of))
                told.gain = std::max(0.0, known - real_best(linear.A, linear.b, problem.allowed()).cost);
            plan_.held.push_back(std::move(told));
        }
    }

    /// Whether one of this purpose has any effect on what is in the cost: a drop link has none while its bar is off.
    bool moves_what_is_asked(const WholeProblem& problem, const WholeLinear& linear, const OfPurpose& of) const {
        const std::vector<Movable>& all = problem.movables().all;
        for (std::size_t m = 0; m < all.size(); ++m) {
            if (!Selection::holds(of.places, all[m].places[0])) continue;
            const auto asked = static_cast<Eigen::Index>(problem.wanted().size());
            if (linear.A.col(static_cast<Eigen::Index>(m)).head(asked).norm() > 0.0) return true;
        }
        return false;
    }

    void notes() {
        plan_.notes.insert(plan_.notes.end(), solved_.notes.begin(), solved_.notes.end());
        plan_.notes.push_back(whole_car_words(plan_.closest.whole, car_));
        if (!plan_.rounded)
            plan_.notes.push_back(
                std::string("Plain rounding asks for shims that are not there at the same time, or breaks a limit") +
                (options_.within_minutes ? ", or takes longer than it may." : "."));
        if (solved_.inside && !solved_.closest.best.within)
            plan_.notes.emplace_back("The closest plan lies outside a tolerance; the least work meets every target.");
        if (!solved_.inside)
            if (const std::string words = impossible_words(plan_.linear, solved_.part.wanted); !words.empty())
                plan_.notes.push_back(words);
        for (const PlannedValue& value : plan_.closest.values)
            if (value.asks == Asks::let_go && !value.within)
                plan_.notes.push_back(key(value.id) +
                                      " is not asked for and could not be kept: what is asked for moves it.");
        std::vector<std::string> held;
        double gain = 0.0;
        for (const HeldPurpose& of : plan_.held) {
            if (!(of.gain > told_gain)) continue;
            held.push_back(spaced_words(purpose_names[static_cast<std::size_t>(of.purpose)]));
            gain = std::max(gain, of.gain);
        }
        if (!held.empty() && !options_.within_minutes && !(solved_.closest.best.misses > 0.0))
            plan_.notes.push_back("What is turned for " + listed_words(held) + " is held: with it the cost of " +
                                  fixed_words(plan_.closest.cost, 2) + " could fall by at most " +
                                  fixed_words(gain, 2) + ".");
    }

    const Car& car_;
    const PlanOptions& options_;
    Plan& plan_;
    Selection selection_;
    HeldCar held_;
    SolvedWhole solved_;
};

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
    plan.model_share = options.model_share;
    plan.compared = compare(measured, targets);
    plan.unread = unread(plan.compared);
    if (!targets.said.empty()) plan.notes.push_back(targets.said);
    plan.doubts = all_doubts(given, measured, targets, known);
    if (measured.bars == BarsWere::on && (car.bars[0] || car.bars[1]) && !wants_bar_torque(targets))
        plan.doubts.push_back(
            {"state.bars", measured.given.file + (measured.given.file.empty() ? "" : ": ") +
                               "state.bars: \"on\": bars hold a twist of their own that no turn takes away. Take "
                               "them off at one link each, read again, and plan from that."});
    Planner(car, measured, targets, options, plan).write();
    if (!judges_all(plan)) {
        plan.nothing.within = plan.closest.within = false;
        if (plan.least_work) plan.least_work->within = false;
        if (plan.rounded) plan.rounded->within = false;
    }
    return plan;
}

bool meets_targets(const Plan& plan) {
    return plan.least_work || std::ranges::all_of(plan.closest.values, [](const PlannedValue& value) {
               return !value.is_target() || value.within;
           });
}

std::size_t judged(const Plan& plan) { return judged(plan.compared) - plan.unpredicted.size(); }

Car car_after(const Car& car, const Plan& plan, Which which) {
    const Choice* choice = plan.choice(which);
    if (!choice) throw OutOfReach("this plan has no choice inside tolerance");
    return applied(as_read(car, plan.measured.read), choice->settings);
}

Settings settings_after(const Car& car, const Plan& plan, Which which) {
    return settings_of(car_after(car, plan, which));
}

}  // namespace shimwise
