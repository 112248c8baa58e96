#include "workshop/choose/corner_problem.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

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

}  // namespace

double CornerProblem::combinations() const {
    double count = 1.0;
    for (const Unknown& unknown : unknowns) count *= static_cast<double>(unknown.settings.size());
    return count;
}

CornerProblem corner_problem(const Car& car, CornerId id, const Measured& measured, const Targets& targets) {
    CornerProblem problem;
    problem.id = id;
    problem.now = setup(car[id]);
    problem.ground = measured.ground;
    Goals goals = goals_of(id, measured, targets, outputs_on(measured.ground, car[id]));
    problem.wanted = std::move(goals.wanted);
    problem.notes = std::move(goals.notes);

    const Corner& corner = car[id];
    for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
        const Adjuster& adjuster = corner.adjusters[a];
        if (!asks_for(problem.wanted, adjuster.purpose)) continue;
        Unknown unknown;
        unknown.adjuster = a;
        if (const Thread* thread = adjuster.thread()) {
            unknown = {allowed_turns(car, id, adjuster), a, {}};
            const std::string key = adjuster_key(id, adjuster.name);
            if (!limited(*thread))
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
                r.per_mm[problem.unknowns[u].adjuster][wanted.output.id.index];
    }
    return problem;
}

void fill_stacks(CornerProblems& problems, const Car& car) {
    std::vector<AdjusterPlace> stacks;
    const auto each_stack = [&](auto&& visit) {
        for (CornerProblem& problem : problems)
            for (Unknown& unknown : problem.unknowns) {
                const Adjuster& adjuster = car[problem.id].adjusters[unknown.adjuster];
                if (adjuster.stack()) visit(problem, unknown, adjuster, AdjusterPlace{problem.id, unknown.adjuster});
            }
    };
    each_stack([&](CornerProblem&, Unknown&, const Adjuster&, const AdjusterPlace& place) { stacks.push_back(place); });
    each_stack([&](CornerProblem& problem, Unknown& unknown, const Adjuster& adjuster, const AdjusterPlace& place) {
        const bool shared = !sharing_box(car, place, stacks).empty();
        unknown = {allowed_packs(adjuster, at_hand_mm(car, place, stacks)), place.adjuster,
                   shared ? adjuster.stack()->box : ""};
        if (!unknown.present)
            problem.notes.push_back(adjuster_key(problem.id, adjuster.name) + " stands beyond its limits: " +
                                    broken_limit(car, problem.id, adjuster, adjuster.stack()->total_mm())->rule + ".");
    });
}

}  // namespace shimwise
