#include "shimwise/workshop/recipes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "shimwise/error.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/as_read.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/recipe_nearest.hpp"
#include "workshop/recipe_solver.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double reach_matters = 1e-4;  // parts of what was asked: a set that goes no further is not looked at
constexpr double reach_settled = 1e-9;
constexpr double same_minutes = 1e-9;
constexpr double same_mm = 1e-9;
constexpr double step_without_shims_mm = 1.0;

std::string name_of(Output output) { return std::string(output_list[index(output)].name); }

/// What a hand can set: a step of a thread, the thinnest shim at hand.
double step_of_mm(const Car& car, const Adjuster& adjuster) {
    if (const Thread* thread = adjuster.thread()) return thread->step_turns * std::fabs(thread->lead_mm());
    double thinnest = std::numeric_limits<double>::infinity();
    for (const double mm : car.box_mm(*adjuster.stack())) thinnest = std::min(thinnest, mm);
    for (const double mm : adjuster.stack()->fitted_mm) thinnest = std::min(thinnest, mm);
    return std::isfinite(thinnest) ? thinnest : step_without_shims_mm;
}

double setting_after(const Adjuster& adjuster, double amount_mm) {
    const Thread* thread = adjuster.thread();
    return present_setting(adjuster) + (thread ? amount_mm / thread->lead_mm() : amount_mm);
}

struct WorkSet {
    AdjusterSet adjusters;
    double minutes = 0.0;
};

/// Sets of the adjusters in order of their minutes, of at most one more than there are outputs: so many are enough, and
/// one more lets two share what a limit keeps either from doing. What costs no minutes is in every set.
std::vector<WorkSet> sets_by_minutes(const Corner& corner, const AdjusterSet& usable, std::size_t outputs) {
    WorkSet none;
    AdjusterSet paid;
    for (const std::size_t a : usable) (corner.adjusters[a].minutes > 0.0 ? paid : none.adjusters).push_back(a);
    std::vector<WorkSet> sets = {none};
    std::size_t first = 0;
    for (std::size_t size = 1; size <= std::min(outputs + 1, paid.size()); ++size) {
        const std::size_t end = sets.size();
        for (; first < end; ++first)
            for (const std::size_t a : paid) {
                const AdjusterSet& smaller = sets[first].adjusters;
                if (smaller.size() > none.adjusters.size() && a <= smaller.back()) continue;
                WorkSet larger = sets[first];
                larger.adjusters.push_back(a);
                larger.minutes += corner.adjusters[a].minutes;
                sets.push_back(std::move(larger));
            }
    }
    std::stable_sort(sets.begin(), sets.end(),
                     [](const WorkSet& a, const WorkSet& b) { return a.minutes < b.minutes; });
    return sets;
}

class Finder {
public:
    Finder(const Car& car, CornerId id)
        : car_(car), corner_(car[id]), kept_(kept_outputs()), solver_(setup(corner_), kept_, steps()) {
        for (std::size_t a = 0; a < corner_.adjusters.size(); ++a)
            for (const RecipeOutput& one : recipe_outputs)
                if (corner_.adjusters[a].purpose == one.purpose) usable_.push_back(a);
        sets_ = sets_by_minutes(corner_, usable_, kept_.size());
        for (const Adjuster& adjuster : corner_.adjusters) {
            const Stack* stack = adjuster.stack();
            packs_.push_back(stack ? stack_choices(stack->fitted_mm, car.box_mm(*stack), stack->limits_mm)
                                   : std::vector<StackChoice>{});
        }
    }

    const RecipeSolver& solver() const { return solver_; }
    Recipe recipe(const RecipeOutput& asked, double by) const;

private:
    struct Found {
        WorkSet set;
        RecipeSolution solution;
        std::vector<std::string> limits;
    };

    std::vector<Output> kept_outputs() const {
        std::vector<Output> kept;
        for (const RecipeOutput& one : recipe_outputs)
            if (std::any_of(corner_.adjusters.begin(), corner_.adjusters.end(),
                            [&](const Adjuster& a) { return a.purpose == one.purpose; }))
                kept.push_back(one.output);
        return kept;
    }
    std::vector<double> steps() const {
        std::vector<double> all;
        for (const Adjuster& adjuster : corner_.adjusters) all.push_back(step_of_mm(car_, adjuster));
        return all;
    }
    VectorXd change_of(Output output, double by) const {
        VectorXd change = VectorXd::Zero(static_cast<Index>(kept_.size()));
        for (std::size_t o = 0; o < kept_.size(); ++o)
            if (kept_[o] == output) change(static_cast<Index>(o)) = by;
        return change;
    }

    Car with_amounts(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;
    std::vector<std::string> broken(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;
    std::optional<Found> least_work(Output output, double by) const;
    double reach(Output output, double by) const;
    void tell(Recipe& recipe, const Found& found) const;
    std::vector<std::string> not_settable(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;
    std::vector<NearSetting> settings_near(std::size_t adjuster, double amount_mm) const;
    std::optional<std::vector<StackChoice>> packs_of(const AdjusterSet& set,
                                                     const std::vector<double>& amounts_mm) const;
    bool set_nearest(const AdjusterSet& set, std::vector<RecipePart>& parts) const;
    std::string moved_together() const;

    const Car& car_;
    const Corner& corner_;
    std::vector<Output> kept_;
    RecipeSolver solver_;
    AdjusterSet usable_;
    std::vector<WorkSet> sets_;
    std::vector<std::vector<StackChoice>> packs_;  // of each adjuster that is a stack: what the shims at hand make
};

Car Finder::with_amounts(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    Car car = car_;
    for (std::size_t a = 0; a < set.size(); ++a) {
        Adjuster& adjuster = car[corner_.id].adjusters[set[a]];
        const double setting = setting_after(adjuster, amounts_mm[a]);
        if (Thread* thread = std::get_if<Thread>(&adjuster.setting))
            thread->now_turns = setting;
        else
            std::get<Stack>(adjuster.setting).fitted_mm = {setting};
    }
    return car;
}

/// Limits of the car file, and the ends of what the shims at hand make.
std::vector<std::string> Finder::broken(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    const Car after = with_amounts(set, amounts_mm);
    std::vector<std::string> all;
    for (const std::size_t a : set) {
        const Adjuster& adjuster = after[corner_.id].adjusters[a];
        const double setting = present_setting(adjuster);
        if (const auto limit = broken_limit(after, corner_.id, adjuster, setting)) {
            all.push_back(adjuster.name + ": " + limit->key + " " + limit->rule);
            continue;
        }
        if (!adjuster.stack()) continue;
        const std::vector<StackChoice>& packs = packs_[a];
        const double half_step_mm = 0.5 * step_of_mm(car_, corner_.adjusters[a]);
        if (packs.empty() || !(setting >= packs.front().total_mm - half_step_mm) ||
            !(setting <= packs.back().total_mm + half_step_mm))
            all.push_back(adjuster.name + ": would have to be " + fixed_words(setting, 2) +
                          " mm thick, but the shims " +
                          (packs.empty() ? "at hand make no pack"
                                         : "at hand make " + fixed_words(packs.front().total_mm, 2) + " to " +
                                               fixed_words(packs.back().total_mm, 2) + " mm"));
    }
    return all;
}

/// The set with the fewest minutes that does it inside the limits, otherwise the fewest minutes; then least movement.
std::optional<Finder::Found> Finder::least_work(Output output, double by) const {
    const VectorXd change = change_of(output, by);
    std::optional<Found> inside, beyond;
    const auto offer = [](std::optional<Found>& best, Found found) {
        const bool later = best && found.set.minutes > best->set.minutes + same_minutes;
        if (!best || (!later && found.solution.movement < best->solution.movement)) best = std::move(found);
    };
    for (const WorkSet& set : sets_) {
        if (inside && set.minutes > inside->set.minutes + same_minutes) break;
        if (!solver_.can(set.adjusters, change)) continue;
        auto solution = solver_.solve(set.adjusters, change);
        if (!solution) continue;
        Found found{set, std::move(*solution), {}};
        found.limits = broken(found.set.adjusters, found.solution.amounts_mm);
        std::optional<Found>& best = found.limits.empty() ? inside : beyond;
        offer(best, std::move(found));
    }
    return inside ? inside : beyond;
}

/// The largest part of `by` that some set does inside the limits, from as it stands.
double Finder::reach(Output output, double by) const {
    const VectorXd whole = change_of(output, by);
    double furthest = 0.0;
    for (const WorkSet& set : sets_) {
        if (!solver_.can(set.adjusters, whole)) continue;
        const auto inside = [&](double part) {
            const auto solution = solver_.solve(set.adjusters, part * whole);
            return solution && broken(set.adjusters, solution->amounts_mm).empty();
        };
        if (!inside(furthest + reach_matters)) continue;
        double good = furthest + reach_matters, bad = 1.0;
        while (bad - good > reach_settled) {
            const double middle = 0.5 * (good + bad);
            (inside(middle) ? good : bad) = middle;
        }
        furthest = good;
    }
    return furthest * by;
}

/// What can be set of an adjuster, nearest first: of a thread the step on either side and as it stands, of a stack
/// every pack that its box makes.
std::vector<NearSetting> Finder::settings_near(std::size_t adjuster, double amount_mm) const {
    const double step_mm = step_of_mm(car_, corner_.adjusters[adjuster]);
    std::vector<NearSetting> all;
    const auto offer = [&](double mm) { all.push_back({mm, std::fabs(mm - amount_mm) / step_mm}); };
    if (corner_.adjusters[adjuster].thread()) {
        const double below = std::floor(amount_mm / step_mm);
        for (const double steps : {below, below + 1.0}) offer(steps * step_mm);
        if (below != 0.0 && below != -1.0) offer(0.0);
    }
    for (const StackChoice& pack : packs_[adjuster])
        offer(pack.total_mm - corner_.adjusters[adjuster].stack()->total_mm());
    std::stable_sort(all.begin(), all.end(),
                     [](const NearSetting& a, const NearSetting& b) { return a.off_steps < b.off_steps; });
    return all;
}

/// The shims of each stack of a set (of threads: none), no shim used twice; nothing where the shims do not make it.
std::optional<std::vector<StackChoice>> Finder::packs_of(const AdjusterSet& set,
                                                         const std::vector<double>& amounts_mm) const {
    std::map<std::string, std::vector<std::size_t>> by_box;  // places in the set; of an own box: by the adjuster's name
    for (std::size_t a = 0; a < set.size(); ++a)
        if (const Stack* stack = corner_.adjusters[set[a]].stack())
            by_box[stack->box.empty() ? "own: " + corner_.adjusters[set[a]].name : stack->box].push_back(a);
    std::vector<StackChoice> packs(set.size());
    for (const auto& [box, places] : by_box) {
        if (places.size() == 1) {
            const double wanted_mm = corner_.adjusters[set[places[0]]].stack()->total_mm() + amounts_mm[places[0]];
            for (const StackChoice& pack : packs_[set[places[0]]])
                if (std::fabs(pack.total_mm - wanted_mm) < same_mm) packs[places[0]] = pack;
            continue;
        }
        std::vector<std::vector<double>> fitted_mm;
        std::vector<double> totals_mm;
        for (const std::size_t a : places) {
            const Stack& stack = *corner_.adjusters[set[a]].stack();
            fitted_mm.push_back(stack.fitted_mm);
            totals_mm.push_back(stack.total_mm() + amounts_mm[a]);
        }
        const auto made = stack_together(fitted_mm, car_.box_mm(*corner_.adjusters[set[places[0]]].stack()), totals_mm);
        if (!made) return std::nullopt;
        for (std::size_t i = 0; i < places.size(); ++i) packs[places[i]] = (*made)[i];
    }
    return packs;
}

/// Steps and packs that can be set together inside the limits and lie nearest; false where there are none.
bool Finder::set_nearest(const AdjusterSet& set, std::vector<RecipePart>& parts) const {
    std::vector<std::vector<NearSetting>> near;
    for (const RecipePart& part : parts) near.push_back(settings_near(part.adjuster, part.amount_mm));
    std::optional<std::vector<StackChoice>> packs;
    const auto amounts_mm = nearest_together(near, [&](const std::vector<double>& together_mm) {
        return broken(set, together_mm).empty() && (packs = packs_of(set, together_mm)).has_value();
    });
    if (!amounts_mm) return false;
    for (std::size_t a = 0; a < parts.size(); ++a) {
        RecipePart& part = parts[a];
        const Adjuster& adjuster = corner_.adjusters[part.adjuster];
        part.nearest_mm = (*amounts_mm)[a];
        if (const Thread* thread = adjuster.thread()) {
            if (part.nearest_mm != 0.0) part.nearest_words = turns_words(adjuster, part.nearest_mm / thread->lead_mm());
        } else if ((*packs)[a].moved() > 0) {
            part.nearest_shims = (*packs)[a];
            part.nearest_words = shims_words((*packs)[a]);
        }
    }
    return true;
}

/// A recipe that keeps the limits but near which nothing that can be set does, is a rate too.
void Finder::tell(Recipe& recipe, const Found& found) const {
    const AdjusterSet& set = found.set.adjusters;
    recipe.limits = found.limits;
    for (std::size_t a = 0; a < set.size(); ++a) {
        const Adjuster& adjuster = corner_.adjusters[set[a]];
        const Thread* thread = adjuster.thread();
        RecipePart part;
        part.adjuster = set[a];
        part.key = adjuster_key(corner_.id, adjuster.name);
        part.amount_mm = found.solution.amounts_mm[a];
        part.minutes = adjuster.minutes;
        if (thread) part.turns = part.amount_mm / thread->lead_mm();
        part.words = thread ? turns_words(adjuster, *part.turns) : thickness_words(part.amount_mm);
        recipe.minutes += part.minutes;
        recipe.parts.push_back(std::move(part));
    }
    recipe.change = recipe.nearest_change = solver_.change(set, found.solution.amounts_mm);
    recipe.reach = found.limits.empty() ? recipe.by : reach(recipe.output, recipe.by);
    if (!found.limits.empty()) return;
    if (!set_nearest(set, recipe.parts)) {
        recipe.limits = not_settable(set, found.solution.amounts_mm);
        return;
    }
    std::vector<double> nearest_mm;
    for (const RecipePart& part : recipe.parts) {
        nearest_mm.push_back(part.nearest_mm);
        if (!part.nearest_words.empty()) recipe.nearest_minutes += part.minutes;
    }
    recipe.nearest_change = solver_.change(set, nearest_mm);
}

/// Why nothing can be set of a recipe whose exact amounts keep the limits: what the nearest steps and packs break.
std::vector<std::string> Finder::not_settable(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    std::vector<double> nearest_mm;
    for (std::size_t a = 0; a < set.size(); ++a)
        nearest_mm.push_back(settings_near(set[a], amounts_mm[a]).front().amount_mm);
    std::vector<std::string> all = broken(set, nearest_mm);
    for (std::string& limit : all) limit.insert(0, "no step or pack near the exact amounts keeps the limits; ");
    if (all.empty()) all.emplace_back("the shims at hand do not make these packs at the same time");
    return all;
}

std::string Finder::moved_together() const {
    std::string names;
    for (const Output output : kept_) names += (names.empty() ? "" : ", ") + spaced_words(name_of(output));
    return names;
}

Recipe Finder::recipe(const RecipeOutput& asked, double by) const {
    Recipe recipe;
    recipe.output = asked.output;
    recipe.by = by;
    for (const Output output : kept_)
        if (output != asked.output) recipe.kept.push_back(output);
    if (recipe.kept.size() == kept_.size()) {
        recipe.refusal = "this corner has no adjuster for " + spaced_words(purpose_names[index(asked.purpose)]) +
                         ": it moves along with the others";
        return recipe;
    }
    if (const auto found = least_work(asked.output, by)) {
        tell(recipe, *found);
        return recipe;
    }
    const bool able = std::any_of(sets_.begin(), sets_.end(), [&](const WorkSet& set) {
        return solver_.can(set.adjusters, change_of(asked.output, by));
    });
    recipe.refusal = able ? "the corner does not assemble that far"
                          : "no adjusters of this corner move it alone: " + moved_together() + " go together";
    recipe.reach = reach(asked.output, by);
    return recipe;
}

double asked_by(const std::map<std::string, double>& by, Output output) {
    const auto found = by.find(name_of(output));
    return found == by.end() ? 1.0 : found->second;
}

void check_asked(const std::map<std::string, double>& by) {
    std::vector<std::string> names;
    for (const RecipeOutput& one : recipe_outputs) names.push_back(name_of(one.output));
    std::vector<Problem> problems;
    for (const auto& [name, amount] : by) {
        if (std::find(names.begin(), names.end(), name) == names.end())
            problems.push_back({"", 0, 0, name, "", "has no recipe" + did_you_mean(name, names)});
        else if (!std::isfinite(amount))
            problems.push_back({"", 0, 0, name, "", "must be a finite number"});
        else if (amount == 0.0)
            problems.push_back({"", 0, 0, name, "", "must not be 0"});
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

}  // namespace

Recipes recipes(const Car& car, CornerId id, const std::map<std::string, double>& by) {
    check_asked(by);
    const Finder finder(car, id);
    Recipes all;
    all.corner = id;
    all.spring_length_mm = finder.solver().spring_length_mm();
    all.now = finder.solver().now();
    for (const RecipeOutput& one : recipe_outputs)
        if (by.empty() || by.contains(name_of(one.output)))
            all.recipes.push_back(finder.recipe(one, asked_by(by, one.output)));
    return all;
}

}  // namespace shimwise
