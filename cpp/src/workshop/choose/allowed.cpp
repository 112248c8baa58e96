#include "shimwise/workshop/choose/allowed.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

constexpr double same_total_mm = 1e-6;
constexpr double whole_lock = 1e-6;
constexpr double step_without_shims_mm = 1.0;

std::optional<double> thinnest_mm(const Stack& stack, const std::vector<double>& at_hand_mm) {
    std::optional<double> thinnest;
    for (const std::vector<double>* shims_mm : {&at_hand_mm, &stack.fitted_mm})
        for (const double mm : *shims_mm) thinnest = std::min(thinnest.value_or(mm), mm);
    return thinnest;
}

std::string named(const StackChoice& pack) {
    return mm_words(pack.total_mm) + (pack.shims_mm.size() > 1 ? " (" + pack_words(pack.shims_mm) + ")" : "");
}

}  // namespace

double hand_step_mm(const Car& car, const Adjuster& adjuster) {
    if (const Thread* thread = adjuster.thread()) return thread->step_turns * std::fabs(thread->lead_mm());
    const Stack& stack = *adjuster.stack();
    return thinnest_mm(stack, car.box_mm(stack)).value_or(step_without_shims_mm);
}

std::pair<double, double> one_step_mm(const Car& car, const Adjuster& adjuster) {
    if (const Thread* thread = adjuster.thread()) {
        const double step_mm = thread->step_turns * thread->lead_mm();
        return {step_mm, -step_mm};
    }
    const double now = adjuster.stack()->total_mm();
    std::pair<double, double> up_and_down;
    for (const StackChoice& choice : packs_at_hand(car, *adjuster.stack())) {
        const double change = choice.total_mm - now;
        if (change < -same_pack_mm) up_and_down.second = change;
        if (change > same_pack_mm && up_and_down.first == 0.0) up_and_down.first = change;
    }
    return up_and_down;
}

std::vector<StackChoice> packs_at_hand(const Car& car, const Stack& stack) {
    return stack_choices(stack.fitted_mm, car.box_mm(stack), stack.limits_mm);
}

std::string not_made_words(const std::vector<StackChoice>& packs, double total_mm, double near_mm) {
    const auto above = std::find_if(packs.begin(), packs.end(),
                                    [&](const StackChoice& pack) { return pack.total_mm > total_mm - near_mm; });
    if (above != packs.end() && above->total_mm < total_mm + near_mm) return "";
    const std::string words = "no shims at hand make " + mm_words(total_mm) + ": ";
    if (packs.empty()) return words + "they make no pack within its limits";
    std::string made = above == packs.begin() ? "" : named(*std::prev(above));
    if (above != packs.end()) made += (made.empty() ? "" : " or ") + named(*above);
    return words + made + " can be made";
}

double setting_variance_mm2(const Adjuster& adjuster, std::size_t moved) {
    if (moved == 0) return 0.0;
    if (const Thread* thread = adjuster.thread()) {
        const double missed_mm = thread->settable_turns * thread->lead_mm();
        return missed_mm * missed_mm;
    }
    const double u = adjuster.stack()->thickness_uncertainty_mm;
    return u * u * static_cast<double>(moved);
}

bool limited(const Thread& thread) { return thread.limits_turns || thread.length_limits_mm || thread.engaged_mm; }

Allowed allowed_turns(const Car& car, CornerId id, const Adjuster& adjuster) {
    const Thread& thread = *adjuster.thread();
    const double lead = thread.lead_mm();
    const auto most = static_cast<long>(
        std::floor((limited(thread) ? most_turns : most_turns_without_limits) / thread.step_turns + 1e-9));
    Allowed allowed;
    allowed.step_mm = thread.step_turns * lead;
    for (long k = -most; k <= most; ++k) {
        const auto steps = static_cast<double>(k);
        const double turns = thread.now_turns + steps * thread.step_turns;
        if (!can_be_turned_to(car, id, adjuster, turns)) continue;
        if (k == 0) allowed.present = allowed.settings.size();
        AllowedSetting one;
        one.setting = turns;
        one.amount_mm = turns * lead;
        one.steps = steps;
        one.variance_mm2 = setting_variance_mm2(adjuster, k == 0 ? 0 : 1);
        one.minutes = k == 0 ? 0.0 : adjuster.minutes;
        allowed.settings.push_back(std::move(one));
    }
    return allowed;
}

Allowed allowed_packs(const Adjuster& adjuster, const std::vector<double>& at_hand_mm) {
    const Stack& stack = *adjuster.stack();
    const double now_mm = stack.total_mm();
    Allowed allowed;
    // A millimetre at most: where all shims are thicker, that much still counts as a step.
    allowed.step_mm = std::min(step_without_shims_mm, thinnest_mm(stack, at_hand_mm).value_or(step_without_shims_mm));
    for (StackChoice& choice : stack_choices(stack.fitted_mm, at_hand_mm, stack.limits_mm)) {
        const bool present = std::fabs(choice.total_mm - now_mm) <= same_total_mm;
        if (present) allowed.present = allowed.settings.size();
        AllowedSetting one;
        one.setting = choice.total_mm;
        one.amount_mm = choice.total_mm - stack.drawn_with_mm;
        one.steps = (choice.total_mm - now_mm) / allowed.step_mm;
        one.variance_mm2 = setting_variance_mm2(adjuster, choice.moved());
        one.minutes = present ? 0.0 : adjuster.minutes;
        one.shims = std::move(choice);
        allowed.settings.push_back(std::move(one));
    }
    return allowed;
}

std::vector<NearSetting> settings_near(const Adjuster& adjuster, double step_mm, const std::vector<StackChoice>& packs,
                                       double amount_mm, int steps) {
    std::vector<NearSetting> all;
    const auto offer = [&](double mm) { all.push_back({mm, std::fabs(mm - amount_mm) / step_mm}); };
    if (const Stack* stack = adjuster.stack()) {
        for (const StackChoice& pack : packs) offer(pack.total_mm - stack->total_mm());
    } else {
        const double below = std::floor(amount_mm / step_mm);
        for (int i = 1 - steps; i <= steps; ++i) offer((below + i) * step_mm);
        if (!(below >= -steps && below <= steps - 1)) offer(0.0);
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const NearSetting& one, const NearSetting& other) { return one.off_steps < other.off_steps; });
    return all;
}

std::optional<std::pair<double, double>> locks_beside(const Thread& thread, double turns) {
    if (!(thread.lock_turns > 0.0) || !std::isfinite(turns)) return std::nullopt;
    const double locks = turns / thread.lock_turns;
    if (std::fabs(locks - std::round(locks)) <= whole_lock) return std::nullopt;
    return std::pair(std::floor(locks) * thread.lock_turns, std::ceil(locks) * thread.lock_turns);
}

}  // namespace shimwise
