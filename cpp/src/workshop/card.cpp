#include "shimwise/workshop/card.hpp"

#include <algorithm>

#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/card_head.hpp"

namespace shimwise {
namespace {

/// "front_left track rod": a key read aloud.
std::string spoken(const std::string& key) {
    std::string words = key;
    const auto dot = words.find('.');
    if (dot != std::string::npos) words[dot] = ' ';
    return words;
}

CardLine said(const std::string& text) {
    CardLine line;
    line.text = text;
    return line;
}

constexpr std::array<std::size_t, corner_count> front_first = {0, 1, 2, 3}, rear_first = {2, 3, 0, 1};

/// The steps of a choice, one after the other.
class Writer {
public:
    Writer(const Plan& plan, const Car& car, const Choice& choice, CardWalk& walk)
        : plan_(plan), car_(car), choice_(choice), walk_(walk) {}

    std::vector<CardStep> written() {
        if (choice_.touches) state();
        turns(1, "Caster", Purpose::caster);
        turns(2, "Camber shims", Purpose::camber);
        pairs(3, "Ride heights and rake, both sides before reading", Purpose::ride_height);
        pairs(4, "Corner weights, both sides before reading", Purpose::corner_weight);
        if (!steps_.empty() && steps_.back().number != 0) settle();
        turns(6, "Toe, rear before front", Purpose::toe, rear_first);
        bars();
        lock_and_torque();
        read_again();
        take_off();
        return std::move(steps_);
    }

private:
    CardStep& step(int number, const std::string& title, bool boxes = true) {
        steps_.push_back({.number = number, .title = title, .lines = {}, .boxes = boxes});
        return steps_.back();
    }

    std::vector<const PlannedSetting*> touched(Purpose purpose,
                                               const std::array<std::size_t, corner_count>& order) const {
        std::vector<const PlannedSetting*> all;
        for (const std::size_t c : order)
            for (const PlannedSetting& planned : choice_.settings)
                if (index(planned.corner) == c && planned.purpose == purpose && planned.touched)
                    all.push_back(&planned);
        return all;
    }

    CardLine turned(const PlannedSetting& planned) {
        const Adjuster& adjuster = car_[planned.corner].adjusters[planned.adjuster];
        const double turns = planned.after - planned.before;
        CardLine line;
        line.corner = std::string(corner_names[index(planned.corner)]);
        line.key = planned.key;
        line.minutes = planned.minutes;
        const auto length_mm = [&]() -> std::optional<double> {
            if (!adjuster.thread() || !adjuster.length() || adjuster.length() == Length::spring_platform) return {};
            return present_length_mm(walk_.now(), planned.corner, *adjuster.length());
        };
        const auto before_mm = length_mm();
        walk_.turn(planned);
        if (before_mm) line.length_mm = {*before_mm, *length_mm()};
        line.text =
            spoken(planned.key) + ": " + (adjuster.stack() ? shims_words(planned.shims) : turns_words(adjuster, turns));
        if (const Thread* thread = adjuster.thread()) line.way_round = way_round_words(*thread, turns);
        return line;
    }

    void turns(int number, const std::string& title, Purpose purpose,
               const std::array<std::size_t, corner_count>& order = front_first) {
        const auto all = touched(purpose, order);
        if (all.empty()) return;
        CardStep& written = step(number, title);
        for (const PlannedSetting* planned : all) {
            CardLine line = turned(*planned);
            line.expect = walk_.at_wheel(index(planned->corner));
            written.lines.push_back(std::move(line));
        }
    }

    /// Left and right of an axle together: a height or a weight of one side alone says little.
    void pairs(int number, const std::string& title, Purpose purpose) {
        const auto all = touched(purpose, front_first);
        if (all.empty()) return;
        CardStep& written = step(number, title);
        for (std::size_t i = 0; i < all.size(); ++i) {
            CardLine line = turned(*all[i]);
            const bool last = i + 1 == all.size() || is_front(all[i + 1]->corner) != is_front(all[i]->corner);
            if (last) line.expect = purpose == Purpose::ride_height ? walk_.heights() : walk_.scales();
            written.lines.push_back(std::move(line));
        }
    }

    bool has_bars() const { return car_.bars[0] || car_.bars[1]; }
    bool bars_off() const { return has_bars() && plan_.measured.bars != BarsWere::on; }

    void state() {
        CardLine line;
        for (const auto& [name, kg] : plan_.measured.ballast_kg)
            line.ticks.push_back(name + " " + fixed_words(kg, 1) + " kg");
        line.ticks.emplace_back("damper settings as read");
        if (has_bars()) line.ticks.emplace_back(bars_off() ? "bars off at one link each" : "bars on as read");
        if (plan_.measured.struts_solid) line.ticks.emplace_back("solid struts in");
        line.ticks.emplace_back(plan_.measured.given.rack_locked ? "rack centred and locked" : "rack free as read");
        line.ticks.emplace_back("plates free");
        step(0, "State of the car").lines.push_back(std::move(line));
    }

    void settle() {
        CardLine line = said(plan_.measured.struts_solid ? "Roll the car back and forth, then read."
                                                         : "Bounce the car, roll it back and forth, then read.");
        line.expect = walk_.all();
        step(5, "Settle").lines.push_back(std::move(line));
    }

    void bars() {
        const auto links = touched(Purpose::bar_free, front_first);
        if (links.empty() && !bars_off()) return;
        CardStep& written = step(7, "Bars");
        for (const PlannedSetting* planned : links) written.lines.push_back(turned(*planned));
        if (bars_off())
            written.lines.push_back(said(links.empty()
                                             ? "Turn the drop links so that their bolts go in by hand, then connect."
                                             : "Connect the bars."));
    }

    /// One line for all adjusters of a name, a box for each corner.
    void lock_and_torque() {
        if (!choice_.touches) return;
        CardStep& written = step(8, "Lock and torque, to the maker's figures");
        for (const PlannedSetting& planned : choice_.settings) {
            if (!planned.touched) continue;
            const Adjuster& adjuster = car_[planned.corner].adjusters[planned.adjuster];
            const std::string text = adjuster.name + (adjuster.stack() ? ", bracket bolts" : ", lock nuts");
            auto line = std::ranges::find(written.lines, text, &CardLine::text);
            if (line == written.lines.end()) line = written.lines.insert(line, said(text));
            line->ticks.emplace_back(corner_short_names[index(planned.corner)]);
        }
        if (bars_off()) {
            written.lines.push_back(said("drop links of the bars, bolts"));
            for (const std::size_t axle : {0U, 1U})
                if (car_.bars[axle]) written.lines.back().ticks.emplace_back(axle == 0 ? "front" : "rear");
        }
    }

    void read_again() {
        CardLine line = said("Settle the car once more, then read all of it.");
        line.expect = walk_.all();
        step(9, "Read everything again").lines.push_back(std::move(line));
    }

    void take_off() {
        CardLine line;
        if (plan_.measured.given.rack_locked) line.ticks.emplace_back("rack lock");
        line.ticks.insert(line.ticks.end(), {"plates", "strings and their bars"});
        if (plan_.measured.struts_solid) line.ticks.emplace_back("solid struts");
        line.ticks.emplace_back("setup wheels");
        step(10, "Take off again").lines.push_back(std::move(line));
    }

    const Plan& plan_;
    const Car& car_;
    const Choice& choice_;
    CardWalk& walk_;
    std::vector<CardStep> steps_;
};

}  // namespace

const std::vector<std::string>& cautions() {
    static const std::vector<std::string> all = {
        "Support the car properly, chocked, before anybody works under it; never on scales or pads alone.",
        "Keep the maker's and the rod end's minimum thread engagement on every thread that is turned.",
        "Lock and torque to the maker's figures.",
        "Measure again before the car runs.",
        "Check that rack lock, plates and setup wheels are off before the car runs.",
        "This is advice about safety-critical fasteners, not an instruction.",
        "Series rules, local codes and the qualified person in charge come first."};
    return all;
}

const std::vector<std::string>& cautions_in_short() {
    static const std::vector<std::string> all = {
        "Car supported and chocked before work under it; never on scales or pads alone.",
        "Keep the maker's and the rod ends' minimum thread engagement.",
        "Lock and torque to the maker's figures; measure again before the car runs.",
        "Before it runs: rack lock, plates and setup wheels off.",
        "Advice, no instruction: rules, codes and the qualified person come first."};
    return all;
}

Card card(const Plan& plan, const Car& given, Which which, const Chances& chances) {
    const Choice* choice = plan.choice(which);
    if (!choice) throw OutOfReach("this plan has no choice inside tolerance");
    const Car car = as_read(given, plan.measured.read);
    CardWalk walk(car, plan.measured, plan.model_share);
    Card card;
    card.steps = Writer(plan, car, *choice, walk).written();
    card.car = car.name;
    card.place = plan.measured.given.place;
    card.at = plan.measured.given.at;
    card.which = which;
    card.title = card_title(plan, *choice, which);
    card.why = why_words(plan, which, chances);
    card.frame = frame_words(plan.measured.ground);
    card.touches = choice->touches;
    card.minutes = choice->minutes;
    if (!choice->next.ids.empty())
        card.chance = which == Which::nothing   ? chances.nothing.value
                      : which == Which::closest ? chances.closest.value
                                                : chances.least_work->value;
    card.doubts = plan.doubts;
    card.moves = moves_unasked(plan, *choice, walk);
    card.cautions = cautions();
    card.values = card_values(plan, *choice, walk);
    card.proof = proof_words(plan, which);
    card.notes = plan.measured.notes;
    card.notes.insert(card.notes.end(), plan.notes.begin(), plan.notes.end());
    return card;
}

Card card(const Plan& plan, const Car& car, Which which) { return card(plan, car, which, chances(plan)); }

}  // namespace shimwise
