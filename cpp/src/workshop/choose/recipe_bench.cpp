#include "workshop/choose/recipe_bench.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

constexpr double near_pack_mm = 0.05;  // half of the thinnest shim of the trade

double setting_after(const Adjuster& adjuster, double amount_mm) {
    const Thread* thread = adjuster.thread();
    return present_setting(adjuster) + (thread ? amount_mm / thread->lead_mm() : amount_mm);
}

}  // namespace

RecipeBench::RecipeBench(const Car& car, std::vector<AdjusterPlace> places) : car_(car), places_(std::move(places)) {
    for (std::size_t a = 0; a < places_.size(); ++a) {
        const Adjuster& one = adjuster(a);
        step_mm_.push_back(hand_step_mm(car, one));
        minutes_.push_back(one.minutes);
        const Stack* stack = one.stack();
        packs_.push_back(stack ? packs_at_hand(car, *stack) : std::vector<StackChoice>{});
        one_corner_ = one_corner_ && places_[a].corner == places_[0].corner;
    }
}

Car RecipeBench::with_amounts(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    Car car = car_;
    for (std::size_t a = 0; a < set.size(); ++a) {
        Adjuster& adjuster = car[places_[set[a]].corner].adjusters[places_[set[a]].adjuster];
        const double setting = setting_after(adjuster, amounts_mm[a]);
        if (Thread* thread = std::get_if<Thread>(&adjuster.setting))
            thread->now_turns = setting;
        else
            std::get<Stack>(adjuster.setting).fitted_mm = {setting};
    }
    return car;
}

std::string RecipeBench::name_of(std::size_t a) const {
    const std::string corner = spaced_words(corner_names[index(places_[a].corner)]);
    return (one_corner_ ? "" : corner + " ") + adjuster(a).name;
}

std::vector<std::string> RecipeBench::broken(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    const Car after = with_amounts(set, amounts_mm);
    std::vector<std::string> all;
    for (const std::size_t a : set) {
        const Adjuster& one = after[places_[a].corner].adjusters[places_[a].adjuster];
        const double setting = present_setting(one);
        if (const auto limit = broken_limit(after, places_[a].corner, one, setting)) {
            all.push_back(name_of(a) + ": " + limit->key + " " + limit->rule);
            continue;
        }
        if (!one.stack()) continue;
        const std::vector<StackChoice>& packs = packs_[a];
        const double half_step_mm = 0.5 * step_mm_[a];
        if (packs.empty() || !(setting >= packs.front().total_mm - half_step_mm) ||
            !(setting <= packs.back().total_mm + half_step_mm))
            all.push_back(name_of(a) + ": would have to be " + fixed_words(setting, 2) + " mm thick, but the shims " +
                          (packs.empty() ? "at hand make no pack"
                                         : "at hand make " + fixed_words(packs.front().total_mm, 2) + " to " +
                                               fixed_words(packs.back().total_mm, 2) + " mm"));
    }
    return all;
}

std::vector<NearSetting> RecipeBench::settings_near(std::size_t a, double amount_mm, int steps) const {
    return shimwise::settings_near(adjuster(a), step_mm_[a], packs_[a], amount_mm, steps);
}

std::optional<std::vector<StackChoice>> RecipeBench::packs_of(const AdjusterSet& set,
                                                              const std::vector<double>& amounts_mm) const {
    std::vector<TotalAt> totals;
    std::vector<std::size_t> stacks;  // places in the set
    for (std::size_t a = 0; a < set.size(); ++a)
        if (const Stack* stack = adjuster(set[a]).stack()) {
            totals.push_back({places_[set[a]], stack->total_mm() + amounts_mm[a]});
            stacks.push_back(a);
        }
    auto made = packs_together(car_, totals);
    if (!made) return std::nullopt;
    std::vector<StackChoice> packs(set.size());
    for (std::size_t i = 0; i < stacks.size(); ++i) packs[stacks[i]] = std::move((*made)[i]);
    return packs;
}

std::vector<RecipePart> RecipeBench::parts(const AdjusterSet& set, const std::vector<double>& amounts_mm) const {
    std::vector<RecipePart> all;
    for (std::size_t a = 0; a < set.size(); ++a) {
        const Adjuster& one = adjuster(set[a]);
        const Thread* thread = one.thread();
        RecipePart part;
        part.adjuster = places_[set[a]].adjuster;
        part.key = adjuster_key(places_[set[a]].corner, one.name);
        part.amount_mm = amounts_mm[a];
        part.minutes = one.minutes;
        if (thread) part.turns = part.amount_mm / thread->lead_mm();
        part.words = thread ? turns_words(one, *part.turns) : thickness_words(part.amount_mm);
        if (const Stack* stack = one.stack())
            part.not_made = not_made_words(packs_[set[a]], stack->total_mm() + part.amount_mm, near_pack_mm);
        all.push_back(std::move(part));
    }
    return all;
}

void RecipeBench::set_nearest(const AdjusterSet& set, std::vector<RecipePart>& parts,
                              const std::vector<double>& amounts_mm, const std::vector<StackChoice>& packs) const {
    for (std::size_t a = 0; a < parts.size(); ++a) {
        RecipePart& part = parts[a];
        const Adjuster& one = adjuster(set[a]);
        part.nearest_mm = amounts_mm[a];
        part.nearest_words.clear();
        part.nearest_shims.reset();
        if (const Thread* thread = one.thread()) {
            if (part.nearest_mm != 0.0) part.nearest_words = turns_words(one, part.nearest_mm / thread->lead_mm());
        } else if (packs[a].moved() > 0) {
            part.nearest_shims = packs[a];
            part.nearest_words = shims_words(packs[a]);
        }
    }
}

std::vector<std::string> RecipeBench::not_settable(const AdjusterSet& set,
                                                   const std::vector<double>& amounts_mm) const {
    std::vector<double> nearest_mm;
    for (std::size_t a = 0; a < set.size(); ++a)
        nearest_mm.push_back(settings_near(set[a], amounts_mm[a]).front().amount_mm);
    std::vector<std::string> all = broken(set, nearest_mm);
    for (std::string& limit : all) limit.insert(0, "no step or pack near the exact amounts keeps the limits; ");
    if (all.empty()) all.emplace_back("the shims at hand do not make these packs at the same time");
    return all;
}

}  // namespace shimwise
