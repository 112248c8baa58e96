#include "workshop/choose/solve_whole.hpp"

#include <algorithm>

#include "math/conditions.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/in_minutes.hpp"
#include "workshop/choose/real_best.hpp"

namespace shimwise {
namespace {

using Eigen::Index;

constexpr SearchEffort quick = {.listed = 20, .most_listed = 20, .nodes = 60'000, .states = 120, .linearisations = 5};

constexpr SearchEffort search_inside = {
    .listed = 20, .most_listed = 80, .nodes = 200'000, .states = 200, .linearisations = 6, .inside = true};
constexpr double room_for_steps = 1.0;  // of a cost: a thousand steps each way
constexpr double nearly = 1.0;  // of a tolerance: by what the linear model about the car as it stands may be off

/// Whether a value of toe, camber or caster is outside.
bool aligning_is_short(const SolvedWhole& solved) {
    const std::vector<Wanted>& wanted = solved.problem->wanted();
    for (std::size_t w = 0; w < wanted.size(); ++w)
        if (asks_to_align(wanted[w]) && !meets(wanted[w].target, solved.closest.best.then(static_cast<Index>(w))))
            return true;
    return false;
}

class Solver {
public:
    Solver(const Car& car, const Measured& measured, HeldCar& held, const Selection& selection,
           const PlanOptions& options)
        : car_(car), measured_(measured), held_(held), selection_(selection), options_(options) {}

    std::optional<SolvedWhole> solved(const Part& given) {
        auto found = keeping(given);
        if (!found) return std::nullopt;
        if (found->inside) return found;
        const bool align = aligning_is_short(*found);
        std::vector<OfPurpose> all;
        for (const OfPurpose& of : given.held)
            if (align || !aligns(of.purpose)) all.push_back(of);
        for (const OfPurpose& one : all)
            if (auto more = inside_with(given, {one})) return more;
        if (all.size() > 1)
            if (auto more = inside_with(given, all)) return more;
        return found;
    }

private:
    /// With held purposes that take part too; nothing where that brings no plan inside.
    std::optional<SolvedWhole> inside_with(const Part& given, const std::vector<OfPurpose>& in) {
        Part with = given;
        std::vector<std::string> names;
        for (const OfPurpose& of : in) {
            Selection::add(with.turned, of.places);
            std::erase_if(with.held, [&](const OfPurpose& one) { return one.purpose == of.purpose; });
            names.push_back(spaced_words(purpose_names[static_cast<std::size_t>(of.purpose)]));
            for (Wanted& one : with.wanted)  // what comes in unasked does not upset what it is for
                if (one.can_go() && info(one.id).purpose == of.purpose) one.firm = true;
        }
        Selection::sort(with.turned);
        if (!could_meet(with)) return std::nullopt;
        auto more = keeping(with, quick, true);  // most bring nothing inside: that is to cost little
        if (more && more->inside) more = keeping(with, {}, true);
        if (!more || !more->inside) return std::nullopt;
        more->notes.push_back("What is turned for " + listed_words(names) +
                              " takes part too: without it not every target can be met.");
        return more;
    }

    /// Where no plan meets all, what can be met is not given up for what cannot: limits that no plan keeps, wanted
    /// values that follow from others.
    std::optional<SolvedWhole> with(const Part& part, const SearchEffort& effort) {
        auto solved = keeping_limits(part, effort);
        if (!solved || solved->inside) return solved;
        Part wishes = part;
        bool any = false;
        for (Wanted& one : wishes.wanted) {
            if (one.asks != Asks::limit || !one.target.value) continue;
            one = as_wish(std::move(one));
            any = true;
        }
        if (any)
            if (auto other = keeping_limits(wishes, effort, solved->closest.best.at)) solved = std::move(other);
        if (!(solved->closest.best.misses > 0.0)) return solved;
        Part nearest = solved->part;
        for (std::size_t w = 0; w < nearest.wanted.size(); ++w)
            nearest.wanted[w] =
                as_near_as_can_be(std::move(nearest.wanted[w]), solved->closest.best.then(static_cast<Index>(w)));
        auto other = keeping_limits(nearest, effort, solved->closest.best.at);
        return other ? other : solved;
    }

    /// `known`: a plan that the answer is to be no dearer than.
    std::optional<SolvedWhole> keeping_limits(Part part, const SearchEffort& effort,
                                              const std::optional<Combination>& known = {}) {
        SolvedWhole solved;
        Movables movables = shimwise::movables(car_, part.turned, selection_.tie, selection_.force);
        for (Movable& one : movables.all)
            one.preferred = std::all_of(one.places.begin(), one.places.end(), [&](const AdjusterPlace& place) {
                return Selection::holds(selection_.prefer, place);
            });
        solved.notes = movables.notes;
        solved.problem = std::make_shared<WholeProblem>(car_, measured_, held_, std::move(movables), part.wanted,
                                                        options_.within_minutes);
        WholeProblem& problem = *solved.problem;
        auto closest = options_.within_minutes ? closest_in_minutes(problem, *options_.within_minutes)
                                               : shimwise::closest(problem, problem.allowed(), effort);
        if (!closest) return std::nullopt;
        if (const WholePlan* plan = known ? problem.plan(*known) : nullptr; plan && nearer(*plan, closest->best))
            if (auto from_there = shimwise::closest(problem, problem.allowed(), effort, known)) {
                closest = std::move(from_there);
                if (options_.within_minutes) closest->proof.proven = false;
            }
        solved.closest = std::move(*closest);
        solved.inside = inside_of(problem, solved.closest);
        solved.part = std::move(part);
        return solved;
    }

    /// The closest plan may lie outside where a dearer one does not.
    static std::optional<WholePlan> inside_of(WholeProblem& problem, const Closest& closest) {
        if (meets_all(closest.best)) return closest.best;
        const auto asked = std::count_if(problem.wanted().begin(), problem.wanted().end(),
                                         [](const Wanted& w) { return w.in_cost(); });
        if (!(closest.proof.bound <= static_cast<double>(asked) + room_for_steps)) return std::nullopt;
        const auto found = shimwise::closest(problem, problem.allowed(), search_inside, closest.best.at);
        if (found && meets_all(found->best)) return found->best;
        return std::nullopt;
    }

    /// Necessary for every target to be met: real settings bring all of them and the limits inside, or nearly.
    bool could_meet(Part part) {
        for (Wanted& one : part.wanted)
            if (one.can_go()) one = as_let_go(std::move(one));
        Movables movables = shimwise::movables(car_, part.turned, selection_.tie, selection_.force);
        WholeProblem problem(car_, measured_, held_, std::move(movables), part.wanted, options_.within_minutes);
        if (!problem.plan(problem.present())) return true;
        const auto slack = Eigen::VectorXd::Zero(static_cast<Index>(part.wanted.size()));
        const WholeLinear linear = problem.linear_about(problem.present(), slack, true);
        const std::vector<AllowedValues> lists = problem.allowed();
        return !out_of_reach(condition_rows(linear.conditions, lists), lists, nearly);
    }

    /// `only_inside`: a plan that lies outside is not wanted, and need not be the best of these.
    std::optional<SolvedWhole> keeping(Part part, const SearchEffort& effort = {}, bool only_inside = false) {
        Movables movables = shimwise::movables(car_, part.turned, selection_.tie, selection_.force);
        WholeProblem problem(car_, measured_, held_, std::move(movables), part.wanted, options_.within_minutes);
        if (problem.plan(problem.present())) {
            const auto slack = Eigen::VectorXd::Zero(static_cast<Index>(part.wanted.size()));
            const WholeLinear linear = problem.linear_about(problem.present(), slack);
            for (const std::size_t w : must_go(linear, part.wanted, problem.allowed()))
                part.wanted[w] = as_let_go(std::move(part.wanted[w]));
        }
        auto found = only_inside ? keeping_limits(part, effort) : with(part, effort);
        if (!found || found->inside) return found;
        Part freed = part;
        for (Wanted& one : freed.wanted)
            if (one.can_go()) one = as_let_go(std::move(one));
        auto free = keeping_limits(freed, quick);
        if (!only_inside && !(free && free->inside) && could_meet(freed)) free = with(freed, effort);
        if (!free || !free->inside) return found;
        Part fewer = part;
        for (std::size_t w = 0; w < part.wanted.size(); ++w)
            if (part.wanted[w].can_go() && !meets(part.wanted[w].kept_at(), free->inside->then(static_cast<Index>(w))))
                fewer.wanted[w] = as_let_go(std::move(fewer.wanted[w]));
        auto again = keeping_limits(fewer, effort);
        return again && again->inside ? again : free;
    }

    const Car& car_;
    const Measured& measured_;
    HeldCar& held_;
    const Selection& selection_;
    const PlanOptions& options_;
};

}  // namespace

std::optional<SolvedWhole> solve_whole(const Car& car, const Measured& measured, HeldCar& held, const Part& part,
                                       const Selection& selection, const PlanOptions& options) {
    return Solver(car, measured, held, selection, options).solved(part);
}

}  // namespace shimwise
