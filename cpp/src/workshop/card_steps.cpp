#include "workshop/card_steps.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "shimwise/error.hpp"
#include "shimwise/workshop/amounts.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

constexpr double told_within = 6e-4;  // turns or mm: half a third decimal, and some

bool same(double a, double b) { return std::fabs(a - b) <= told_within; }

bool same(std::vector<double> a, std::vector<double> b) {
    std::sort(a.begin(), a.end());
    std::sort(b.begin(), b.end());
    return a.size() == b.size() &&
           std::equal(a.begin(), a.end(), b.begin(), [](double x, double y) { return same(x, y); });
}

std::vector<double> joined(std::vector<double> a, const std::vector<double>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

/// The words behind "front_left track rod: ", without a total in brackets.
std::string said(const TurnedLine& line) {
    const std::size_t name = line.key.size() + 2;
    std::string words = line.text.size() > name ? line.text.substr(name) : "";
    if (const auto bracket = words.find(" ("); bracket != std::string::npos) words.erase(bracket);
    return words;
}

/// The pack of "remove the 1.0 mm shim: pack 2.0 + 0.5 mm".
std::string pack_of(const std::string& words) {
    constexpr std::string_view head = "pack ";
    const auto at = words.rfind(head);
    return at == std::string::npos ? words : words.substr(at + head.size());
}

/// Shims that share a box, fitted or in it: a card moves them and none is lost.
std::vector<double> all_of_box(const Car& car, const std::string& box) {
    std::vector<double> shims_mm = car.boxes_mm.at(box);
    for (const Corner& corner : car.corners)
        for (const Adjuster& adjuster : corner.adjusters)
            if (adjuster.stack() && adjuster.stack()->box == box)
                shims_mm = joined(std::move(shims_mm), adjuster.stack()->fitted_mm);
    return shims_mm;
}

std::optional<Disagreement> in_setting(const std::string& key, const Adjuster& was, const TurnedLine* line,
                                       const Adjuster& is) {
    const std::string how = line ? "\"" + line->text + "\"" : "no step of the card turns it";
    if (const Thread* thread = was.thread()) {
        const double by = line ? turns_from_now(amount(key, was, Words(said(*line))), *thread) : 0.0;
        if (same(thread->now_turns + by, is.thread()->now_turns)) return {};
        return Disagreement{"settings_after.turns.\"" + key + "\"",
                            "says " + signed_words(is.thread()->now_turns, 3) + " turns, the steps leave " +
                                signed_words(thread->now_turns + by, 3) + " (" + how + ")"};
    }
    const std::vector<double> pack =
        line ? amount(key, was, Words(pack_of(said(*line)))).shims_mm.value_or(std::vector<double>{})
             : was.stack()->fitted_mm;
    if (!same(pack, is.stack()->fitted_mm))
        return Disagreement{
            "settings_after.shims_mm.\"" + key + "\"",
            "says " + pack_words(is.stack()->fitted_mm) + ", the steps leave " + pack_words(pack) + " (" + how + ")"};
    const auto own = [](const Stack& stack) { return joined(stack.fitted_mm, stack.box_mm); };
    if (was.stack()->box.empty() && !same(own(*was.stack()), own(*is.stack())))
        return Disagreement{"settings_after.box_mm.\"" + key + "\"", "is not what the steps leave in its box"};
    return {};
}

}  // namespace

std::optional<Disagreement> disagreement(const Car& before, const std::vector<TurnedLine>& lines, const Car& after) {
    std::set<std::string> turned;
    for (const TurnedLine& line : lines) {
        if (!find_adjuster(before, line.key)) return Disagreement{"card.steps", "\"" + line.key + "\" is no adjuster"};
        if (!turned.insert(line.key).second)
            return Disagreement{"card.steps", "\"" + line.key + "\" is turned by two of them"};
    }
    for (std::size_t c = 0; c < corner_count; ++c)
        for (std::size_t a = 0; a < before.corners[c].adjusters.size(); ++a) {
            const Adjuster& was = before.corners[c].adjusters[a];
            const std::string key = std::string(corner_names[c]) + "." + was.name;
            const auto line =
                std::find_if(lines.begin(), lines.end(), [&](const TurnedLine& one) { return one.key == key; });
            const TurnedLine* found = line == lines.end() ? nullptr : &*line;
            if (auto wrong = in_setting(key, was, found, after.corners[c].adjusters[a])) return wrong;
        }
    for (const auto& [box, shims_mm] : before.boxes_mm)
        if (!same(all_of_box(before, box), all_of_box(after, box)))
            return Disagreement{"settings_after.box_mm." + box, "is not what the steps leave in the box"};
    return {};
}

Car done_through(const Car& before, const std::vector<TurnedLine>& lines, const Car& after, int through,
                 std::string& why_not) {
    Car car = before;
    std::vector<PackAt> packs;
    for (const TurnedLine& line : lines) {
        if (line.step > through) continue;
        const AdjusterPlace place = *find_adjuster(after, line.key);
        const Adjuster& is = after[place.corner].adjusters[place.adjuster];
        Adjuster& was = car[place.corner].adjusters[place.adjuster];
        if (is.thread())
            std::get<Thread>(was.setting).now_turns = is.thread()->now_turns;
        else if (!all_at_hand(car, place, is.stack()->fitted_mm))
            why_not = "the shims that " + line.key + " gets are not at hand before a later step";
        else
            packs.push_back({place, repacked(was.stack()->fitted_mm, is.stack()->fitted_mm)});
    }
    Car done = with_packs(car, packs);
    for (const auto& [box, shims_mm] : before.boxes_mm)
        if (why_not.empty() && !same(all_of_box(before, box), all_of_box(done, box)))
            why_not = "a shim of the box " + box + " comes out of a pack that only a later step changes";
    return done;
}

}  // namespace shimwise
