#include "shimwise/workshop/choose/restore.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/choose/tried.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/measure/differences.hpp"
#include "shimwise/workshop/measure/history.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/measure/baseline_of_car.hpp"

namespace shimwise {
namespace {

constexpr double same_turns = 1e-9;
constexpr std::size_t iso_date = 10;
constexpr std::array<Purpose, purpose_count> working_order = {
    Purpose::caster, Purpose::camber, Purpose::ride_height, Purpose::corner_weight, Purpose::toe, Purpose::bar_free};
constexpr std::array<std::size_t, corner_count> front_first = {0, 1, 2, 3}, rear_first = {2, 3, 0, 1};

const Adjuster& adjuster_at(const Car& car, const AdjusterPlace& place) {
    return car[place.corner].adjusters[place.adjuster];
}

std::vector<AdjusterPlace> in_working_order(const Car& car) {
    std::vector<AdjusterPlace> all;
    for (const Purpose purpose : working_order)
        for (const std::size_t c : purpose == Purpose::toe ? rear_first : front_first)
            for (std::size_t a = 0; a < car.corners[c].adjusters.size(); ++a)
                if (car.corners[c].adjusters[a].purpose == purpose) all.push_back({static_cast<CornerId>(c), a});
    return all;
}

double sum_of(const std::vector<double>& shims_mm) { return std::accumulate(shims_mm.begin(), shims_mm.end(), 0.0); }

class Restoring {
public:
    Restoring(const Car& car, const Baseline& baseline)
        : car_(car), baseline_(baseline), then_(baseline.settings), after_(car) {}

    Restored done() {
        const std::vector<AdjusterPlace> places = in_working_order(car_);
        make_packs(places);
        for (const AdjusterPlace& place : places) {
            if (adjuster_at(car_, place).stack())
                say_pack(place);
            else
                turn(place);
        }
        after_ = with_packs(std::move(after_), packs_);
        r_.settings = settings_of(after_);
        for (const RestoreLine& line : r_.lines) r_.minutes += line.minutes;
        say_lengths();
        return std::move(r_);
    }

private:
    std::string key_of(const AdjusterPlace& place) const {
        return adjuster_key(place.corner, adjuster_at(car_, place).name);
    }

    void unknown(const AdjusterPlace& place) {
        r_.notes.push_back(key_of(place) + ": the baseline does not say how it was set; it stays as it is.");
    }

    void turn(const AdjusterPlace& place) {
        const Adjuster& adjuster = adjuster_at(car_, place);
        const std::string key = key_of(place);
        const auto wanted = then_.turns.find(key);
        if (wanted == then_.turns.end()) return unknown(place);
        const double now = adjuster.thread()->now_turns, by = wanted->second - now;
        if (std::abs(by) <= same_turns) return;
        r_.lines.push_back({key, adjuster.purpose, turns_words(adjuster, by), now, wanted->second, adjuster.minutes});
        if (std::string words = not_locked_words(key, adjuster, wanted->second - now); !words.empty())
            r_.notes.push_back(std::move(words));
        std::get<Thread>(after_[place.corner].adjusters[place.adjuster].setting).now_turns = wanted->second;
    }

    /// All packs at once where the shims make them; else as many as they make, in this order.
    void make_packs(const std::vector<AdjusterPlace>& places) {
        std::vector<TotalAt> wanted;
        for (const AdjusterPlace& place : places) {
            const Stack* stack = adjuster_at(car_, place).stack();
            if (!stack) continue;
            const auto then = then_.shims_mm.find(key_of(place));
            if (then == then_.shims_mm.end()) {
                unknown(place);
                continue;
            }
            const double total_mm = sum_of(then->second);
            if (std::abs(total_mm - stack->total_mm()) > same_pack_mm) wanted.push_back({place, total_mm});
        }
        if (wanted.empty()) return;
        if (auto all = packs_together(car_, wanted)) return keep(wanted, std::move(*all));
        std::vector<TotalAt> made;
        for (const TotalAt& one : wanted) {
            made.push_back(one);
            if (packs_together(car_, made)) continue;
            made.pop_back();
            say_not_made(one);
        }
        keep(made, *packs_together(car_, made));
    }

    void keep(const std::vector<TotalAt>& totals, std::vector<StackChoice> packs) {
        for (std::size_t i = 0; i < totals.size(); ++i) packs_.push_back({totals[i].stack, std::move(packs[i])});
    }

    void say_not_made(const TotalAt& one) {
        const Stack& stack = *adjuster_at(car_, one.stack).stack();
        const std::string alone = not_made_words(packs_at_hand(car_, stack), one.total_mm, same_pack_mm);
        r_.not_made.push_back(key_of(one.stack) + ": " +
                              (alone.empty() ? "its shims make " + mm_words(one.total_mm) +
                                                   " only where those of a stack that shares its box do without"
                                             : alone) +
                              "; it stays at " + mm_words(stack.total_mm()));
    }

    void say_pack(const AdjusterPlace& place) {
        const auto pack = std::ranges::find_if(packs_, [&](const PackAt& one) {
            return one.stack.corner == place.corner && one.stack.adjuster == place.adjuster;
        });
        if (pack == packs_.end()) return;
        const Adjuster& adjuster = adjuster_at(car_, place);
        r_.lines.push_back({key_of(place), adjuster.purpose, shims_words(pack->shims), adjuster.stack()->total_mm(),
                            pack->shims.total_mm, adjuster.minutes});
    }

    /// Turns are counted from the drawing: another drawing makes another rod of the same turns.
    void say_lengths() {
        const auto lengths_mm = lengths_set(after_);
        for (std::size_t c = 0; c < corner_count; ++c)
            for (const auto& [name, then_mm] : baseline_.lengths_mm[c]) {
                const auto now = lengths_mm[c].find(name);
                if (now == lengths_mm[c].end() || std::abs(now->second - then_mm) <= same_length_mm) continue;
                r_.notes.push_back(adjuster_key(static_cast<CornerId>(c), name) + ": these turns make it " +
                                   fixed_words(now->second, 2) + " mm eye to eye, when it was accepted it had " +
                                   fixed_words(then_mm, 2) + " mm.");
            }
    }

    const Car& car_;
    const Baseline& baseline_;
    const Settings& then_;
    Car after_;
    std::vector<PackAt> packs_;
    Restored r_;
};

/// "Wanted is how it was accepted at barn plate on 2026-05-02, 6 days before it was read: Came off the plate like
/// this."
std::string age_words(const Baseline& baseline, const Measured& now) {
    std::string words = "Wanted is how it was accepted";
    if (!baseline.place.empty()) words += " at " + baseline.place;
    if (!baseline.at.empty()) words += " on " + baseline.at.substr(0, iso_date);
    const auto then = days_of(baseline.at), read = days_of(now.given.at);
    if (then && read) {
        const double days = std::floor(*read) - std::floor(*then);
        words += days == 0.0 ? ", the day on which it was read"
                             : ", " + fixed_words(std::fabs(days), 0) + (std::fabs(days) == 1.0 ? " day " : " days ") +
                                   (days > 0.0 ? "before it was read" : "after it was read");
    }
    return words + ": " + baseline.reason + (baseline.reason.ends_with('.') ? "" : ".");
}

}  // namespace

Restored restore(const Car& car, const Baseline& baseline) { return Restoring(car, baseline).done(); }

Targets targets_of(const Baseline& baseline, const Measured& now, const Car& car) {
    Targets targets{baseline.file, baseline.origin, age_words(baseline, now), baseline.struts_solid, {}};
    for (const BaselineValue& value : baseline.values) {
        const auto id = named(car, value.key);
        if (!id || !info(*id).target || sums_wheels(info(*id))) continue;
        const auto tolerance = common_tolerance(*id, car);
        if (tolerance) targets.values[*id] = target_about(value.value, *tolerance);
    }
    return targets;
}

}  // namespace shimwise
