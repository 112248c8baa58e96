#include "workshop/choose/movable.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/selection.hpp"

namespace shimwise {
namespace {

constexpr double same_step = 1e-6;

const Adjuster& at(const Car& car, const AdjusterPlace& place) { return car[place.corner].adjusters[place.adjuster]; }

std::string key_of(const Car& car, const AdjusterPlace& place) {
    return adjuster_key(place.corner, at(car, place).name);
}

bool same(const AdjusterPlace& a, const AdjusterPlace& b) { return a.corner == b.corner && a.adjuster == b.adjuster; }

[[noreturn]] void refuse(const std::string& option, const std::string& value, const std::string& rule) {
    throw InputError({{"", 0, 0, option, value, rule}});
}

/// The lengths that two or more of these threads turn.
std::map<std::pair<CornerId, Length>, std::vector<AdjusterPlace>> turned_together(
    const Car& car, const std::vector<AdjusterPlace>& places) {
    std::map<std::pair<CornerId, Length>, std::vector<AdjusterPlace>> by_length;
    for (const AdjusterPlace& place : places)
        if (const auto length = at(car, place).length(); length && at(car, place).thread())
            by_length[{place.corner, *length}].push_back(place);
    std::erase_if(by_length, [](const auto& one) { return one.second.size() < 2; });
    return by_length;
}

class Maker {
public:
    Maker(const Car& car, const std::vector<AdjusterPlace>& places,
          const std::vector<std::pair<AdjusterPlace, double>>& forced)
        : car_(car), forced_(forced), together_(turned_together(car, places)) {
        for (const AdjusterPlace& place : places)
            if (at(car, place).stack()) stacks_.push_back(place);
    }

    Movable of(const std::vector<AdjusterPlace>& places) {
        Movable m;
        m.places = places;
        std::vector<Allowed> allowed;
        for (const AdjusterPlace& place : places) {
            allowed.push_back(allowed_at(place));
            m.step_mm.push_back(allowed.back().step_mm);
            m.minutes += at(car_, place).minutes;
        }
        m.settings.resize(places.size());
        bool present = true;
        for (const Allowed& one : allowed) present = present && one.present.has_value();
        for (const AllowedSetting& first : allowed[0].settings) {
            std::vector<AllowedSetting> of_each = {first};
            for (std::size_t p = 1; p < places.size(); ++p)
                for (const AllowedSetting& other : allowed[p].settings)
                    if (std::fabs(other.steps - first.steps) <= same_step) of_each.push_back(other);
            if (of_each.size() != places.size()) continue;
            if (present && std::fabs(first.steps) <= same_step) m.present = m.steps.size();
            m.steps.push_back(m.present == m.steps.size() ? 0.0 : first.steps);
            for (std::size_t p = 0; p < places.size(); ++p) m.settings[p].push_back(of_each[p]);
        }
        if (m.steps.empty() && places.size() > 1)
            refuse("tie", key_of(car_, places[0]), "has no step in common with " + key_of(car_, places[1]));
        return m;
    }

    std::vector<std::string> notes;

private:
    Allowed allowed_at(const AdjusterPlace& place) {
        Adjuster adjuster = at(car_, place);
        Allowed allowed;
        if (auto* thread = std::get_if<Thread>(&adjuster.setting)) {
            const bool has_limits = limited(*thread);
            if (adjuster.length() && together_.contains({place.corner, *adjuster.length()}))
                thread->length_limits_mm.reset();  // they hold for the sum
            allowed = allowed_turns(car_, place.corner, adjuster);
            if (!has_limits)
                notes.push_back(key_of(car_, place) + " has no limits in the car file: it was searched within " +
                                fixed_words(most_turns_without_limits, 0) + " turns.");
        } else {
            allowed = allowed_packs(adjuster, at_hand_mm(car_, place, stacks_));
        }
        if (!allowed.present)
            if (const auto broken = broken_limit(car_, place.corner, adjuster, present_setting(adjuster)))
                notes.push_back(key_of(car_, place) + " stands beyond its limits: " + broken->rule + ".");
        return only_forced(place, std::move(allowed));
    }

    Allowed only_forced(const AdjusterPlace& place, Allowed allowed) const {
        const auto forced =
            std::find_if(forced_.begin(), forced_.end(), [&](const auto& one) { return same(one.first, place); });
        if (forced == forced_.end()) return allowed;
        const bool stack = at(car_, place).stack() != nullptr;
        for (std::size_t i = 0; i < allowed.settings.size(); ++i) {
            if (!(std::fabs(allowed.settings[i].setting - forced->second) <= (stack ? same_pack_mm : same_step)))
                continue;
            const bool present = allowed.present == i;
            allowed.settings = {allowed.settings[i]};
            allowed.present = present ? std::optional<std::size_t>(0) : std::nullopt;
            return allowed;
        }
        const std::string key = key_of(car_, place);
        if (const auto broken = broken_limit(car_, place.corner, at(car_, place), forced->second))
            refuse("force", key, broken->rule);
        refuse("force", key,
               stack ? "no shims at hand make " + fixed_words(forced->second, 2) + " mm"
                     : fixed_words(forced->second, 3) + " turns are no whole steps from how it stands");
    }

    const Car& car_;
    const std::vector<std::pair<AdjusterPlace, double>>& forced_;
    std::map<std::pair<CornerId, Length>, std::vector<AdjusterPlace>> together_;
    std::vector<AdjusterPlace> stacks_;
};

std::vector<SharedLength> lengths_of(const Car& car, const std::vector<Movable>& all,
                                     const std::vector<AdjusterPlace>& places) {
    std::vector<SharedLength> lengths;
    for (const auto& [of, threads] : turned_together(car, places)) {
        SharedLength shared;
        shared.least_mm = -1e9;
        shared.most_mm = 1e9;
        double others_mm = present_length_mm(car, of.first, of.second).value_or(0.0);
        for (const AdjusterPlace& place : threads) {
            others_mm -= at(car, place).amount_mm();
            if (const auto& limits = at(car, place).thread()->length_limits_mm) {
                shared.least_mm = std::max(shared.least_mm, limits->first);
                shared.most_mm = std::min(shared.most_mm, limits->second);
            }
            for (std::size_t m = 0; m < all.size(); ++m)
                for (std::size_t p = 0; p < all[m].places.size(); ++p)
                    if (same(all[m].places[p], place)) shared.members.emplace_back(m, p);
        }
        shared.least_mm -= others_mm;
        shared.most_mm -= others_mm;
        lengths.push_back(std::move(shared));
    }
    return lengths;
}

std::vector<SharedBox> boxes_of(const Car& car, const std::vector<Movable>& all) {
    std::map<std::string, std::vector<std::size_t>> by_box;
    for (std::size_t m = 0; m < all.size(); ++m)
        for (const AdjusterPlace& place : all[m].places)
            if (const Stack* stack = at(car, place).stack(); stack && !stack->box.empty()) {
                std::vector<std::size_t>& members = by_box[stack->box];
                if (members.empty() || members.back() != m) members.push_back(m);
            }
    std::vector<SharedBox> boxes;
    for (auto& [box, members] : by_box) {
        const bool several = members.size() > 1 || all[members[0]].places.size() > 1;
        if (several) boxes.push_back({box, std::move(members)});
    }
    return boxes;
}

}  // namespace

std::vector<AdjusterPlace> Movables::places() const {
    std::vector<AdjusterPlace> places;
    for (const Movable& one : all) places.insert(places.end(), one.places.begin(), one.places.end());
    return places;
}

Movables movables(const Car& car, const std::vector<AdjusterPlace>& places,
                  const std::vector<std::vector<AdjusterPlace>>& tied,
                  const std::vector<std::pair<AdjusterPlace, double>>& forced) {
    Movables made;
    Maker maker(car, places, forced);
    std::vector<AdjusterPlace> made_already;
    for (const AdjusterPlace& place : places) {
        if (Selection::holds(made_already, place)) continue;
        std::vector<AdjusterPlace> together = {place};
        for (const std::vector<AdjusterPlace>& tie : tied)
            if (Selection::holds(tie, place)) together = tie;
        made_already.insert(made_already.end(), together.begin(), together.end());
        Movable one = maker.of(together);
        if (one.steps.empty())
            made.notes.push_back(
                key_of(car, place) +
                " has no setting inside its limits that it can be brought to: it is left as it stands.");
        else
            made.all.push_back(std::move(one));
    }
    made.lengths = lengths_of(car, made.all, places);
    made.boxes = boxes_of(car, made.all);
    made.notes.insert(made.notes.begin(), maker.notes.begin(), maker.notes.end());
    return made;
}

}  // namespace shimwise
