#include "workshop/choose/picks.hpp"

#include <algorithm>
#include <functional>

#include "workshop/choose/refusal.hpp"

namespace shimwise {
namespace {

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
        [](std::size_t, const Option& o) { return Key{o.closest.misses() ? 1.0 : 0.0, o.closest.cost_and_limits()}; },
        false);
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

}  // namespace

Answers answers_of(const Car& car, const CornerProblems& problems, const PlanOptions& options) {
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

}  // namespace shimwise
