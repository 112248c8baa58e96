#include "shimwise/workshop/card.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

/// "front_left track rod": a key read aloud.
std::string spoken(const std::string& key) {
    std::string words = key;
    const auto dot = words.find('.');
    if (dot != std::string::npos) words[dot] = ' ';
    return words;
}

/// The car on its way from as it stands to as planned.
struct Walk {
    std::vector<AsMeasured> before;
    Car now;

    void set(const PlannedSetting& planned) {
        Adjuster& adjuster = now[planned.corner].adjusters[planned.adjuster];
        if (Thread* thread = std::get_if<Thread>(&adjuster.setting))
            thread->now_turns = planned.after;
        else
            std::get<Stack>(adjuster.setting).fitted_mm = planned.shims.shims_mm;
    }
};

std::string setting_words(const Adjuster& adjuster, const PlannedSetting& planned) {
    return spoken(planned.key) + ": " +
           (adjuster.stack() ? shims_words(planned.shims) : turns_words(adjuster, planned.after - planned.before));
}

CardLine said(const std::string& text) {
    CardLine line;
    line.text = text;
    return line;
}

class Writer {
public:
    Writer(const Plan& plan, const Car& car, Which which, const Choice& choice)
        : plan_(plan), car_(car), choice_(choice) {
        card_.car = car.name;
        card_.which = which;
        card_.touches = choice.touches;
        card_.minutes = choice.minutes;
        card_.cautions = cautions();
        card_.refusals = plan.refusals;
        card_.notes = plan.measured.notes;
        card_.notes.insert(card_.notes.end(), plan.notes.begin(), plan.notes.end());
        card_.title = title(which);
        card_.frame = frame_words(plan.measured.ground);
        walk_.now = car;
        for (const Corner& corner : car.corners) walk_.before.push_back(as_measured(plan.measured, corner));
    }

    Card written() {
        state();
        turns(1, "Caster", Purpose::caster, {0, 1, 2, 3});
        turns(2, "Camber shims", Purpose::camber, {0, 1, 2, 3});
        compared(3, "Ride heights and rake", "mm");
        compared(4, "Corner weights", "kg");
        settle();
        turns(6, "Toe, rear before front", Purpose::toe, {2, 3, 0, 1});
        if (has_bars())
            say(7, "Bars", {"Turn the drop links so that their bolts go in by hand, then connect the bars."}, true);
        lock_and_torque();
        read_again();
        say(10, "Take off again", {"Rack lock", "Plates", "Strings and their bars", "Dummy struts", "Setup wheels"},
            true);
        return std::move(card_);
    }

private:
    std::string title(Which which) const {
        const std::string within = verdict(), doubtful = doubtful_words(plan_.doubts);
        if (!choice_.touches) return doubtful + "Touch nothing: " + within + ".";
        const std::string name = which == Which::closest ? "Closest plan" : "Least work";
        return doubtful + name + ", " + fixed_words(choice_.minutes, 0) + " minutes: " + within + ".";
    }

    /// No more than what was read can be judged, and what was not is counted.
    std::string verdict() const {
        const bool inside =
            std::ranges::all_of(choice_.corners, &CornerPlan::within) &&
            std::ranges::all_of(choice_.derived, [](const DerivedOutput& one) { return one.within.value_or(true); });
        const std::string predicted = choice_.touches ? " by prediction" : "";
        if (plan_.unread.empty()) return (inside ? inside_of_what() : "NOT inside every tolerance") + predicted;
        const std::size_t asked = judged(plan_.compared) + plan_.unread.size();
        if (judged(plan_.compared) == 0) return "nothing that is asked for was read";
        const std::string counted =
            std::to_string(judged(plan_.compared)) + " of " + std::to_string(asked) + " targets were read";
        if (choice_.next.ids.empty()) return "no toe or camber that is asked for was read; " + counted;
        return (inside ? "inside the tolerances of toe and camber that were read" : "NOT inside every tolerance") +
               predicted + "; " + counted;
    }

    /// No more than what is asked for.
    std::string inside_of_what() const {
        if (!choice_.next.ids.empty()) return "inside every tolerance of toe, camber and caster";
        const auto planned = [](const CornerPlan& corner) { return !corner.outputs.empty(); };
        if (std::ranges::any_of(choice_.corners, planned))
            return "caster inside its limits by the model alone, toe and camber are not asked for";
        const auto wanted = [](const DerivedOutput& one) { return one.target.has_value(); };
        if (std::ranges::any_of(choice_.derived, wanted)) return "inside the tolerances of total toe and thrust angle";
        return "nothing of toe, camber or caster is asked for";
    }

    bool has_bars() const { return car_.bars[0] || car_.bars[1]; }

    void say(int number, const std::string& name, const std::vector<std::string>& texts, bool boxes) {
        CardStep step{.number = number, .title = name, .lines = {}, .boxes = boxes};
        for (const std::string& text : texts) step.lines.push_back(said(text));
        card_.steps.push_back(std::move(step));
    }

    void state() {
        std::vector<std::string> texts;
        for (const Ballast& ballast : car_.ballast)
            texts.push_back("In the car: " + ballast.name + ", " + fixed_words(ballast.now_kg, 1) + " kg");
        texts.emplace_back("Damper settings as they were when the car was read");
        if (has_bars()) texts.emplace_back("Bars off at one link each");
        texts.emplace_back("Rack centred and locked");
        texts.emplace_back("Plates free");
        say(0, "State of the car", texts, true);
    }

    void turns(int number, const std::string& name, Purpose purpose,
               const std::array<std::size_t, corner_count>& order) {
        CardStep step{.number = number, .title = name, .lines = {}, .boxes = true};
        for (const std::size_t c : order)
            for (const PlannedSetting& planned : choice_.corners[c].settings) {
                if (planned.purpose != purpose || !planned.touched) continue;
                walk_.set(planned);
                CardLine line = said(setting_words(car_.corners[c].adjusters[planned.adjuster], planned));
                line.corner = std::string(corner_names[c]);
                line.key = planned.key;
                line.minutes = planned.minutes;
                line.expect = expected(c);
                step.lines.push_back(std::move(line));
            }
        if (step.lines.empty()) {
            step.boxes = false;
            step.lines.push_back(said("Nothing to turn."));
        }
        card_.steps.push_back(std::move(step));
    }

    /// Heights or weights as read, against their targets, and what this card does to them by the way.
    void compared(int number, const std::string& name, std::string_view unit) {
        CardStep step{.number = number, .title = name + " (compared and predicted, not planned yet)", .lines = {}};
        for (const Comparison& row : plan_.compared) {
            const std::string_view row_unit = info(row.id).unit;
            const bool shares = unit == "kg" && row_unit == "percent";
            if ((row_unit != unit && !shares) || !row.measured) continue;
            const int decimals = row_unit == "percent" ? 2 : 1;
            std::string text =
                spoken(key(row.id)) + ": " + fixed_words(*row.measured, decimals) + " " + std::string(row_unit);
            if (row.difference)
                text += ", wanted " + fixed_words(*row.target->value, decimals) + " (off by " +
                        signed_words(*row.difference, decimals) + ")";
            if (row.within) text += *row.within ? ", inside" : ", OUTSIDE";
            for (const CarValue& value : choice_.whole.values)
                if (value.id == row.id && choice_.touches)
                    text += "; after this card " + fixed_words(value.then, decimals);
            step.lines.push_back(said(text));
        }
        if (step.lines.empty()) step.lines.push_back(said("Not read."));
        card_.steps.push_back(std::move(step));
    }

    void settle() {
        say(5, "Settle", {"Bounce the car, roll it back and forth, and read everything again before toe is set."},
            true);
        expect_everywhere("expected now");
    }

    Expectation expected(std::size_t c) const {
        const WholeCarChange whole = whole_car_change(plan_.measured, car_, walk_.now);
        return expectation(plan_.measured, walk_.before[c], walk_.now.corners[c], whole.change[c]);
    }

    /// What each planned corner shows at this point of the card.
    void expect_everywhere(const std::string& when) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            if (choice_.corners[c].outputs.empty()) continue;
            CardLine line = said(std::string(corner_names[c]) + ": " + when);
            line.corner = std::string(corner_names[c]);
            line.expect = expected(c);
            card_.steps.back().lines.push_back(std::move(line));
        }
    }

    void lock_and_torque() {
        std::vector<std::string> texts;
        for (const CornerPlan& corner : choice_.corners)
            for (const PlannedSetting& planned : corner.settings) {
                if (!planned.touched) continue;
                const bool stack = car_[planned.corner].adjusters[planned.adjuster].stack() != nullptr;
                texts.push_back(spoken(planned.key) + (stack ? ": bracket bolts torqued" : ": lock nuts torqued"));
            }
        if (has_bars()) texts.emplace_back("Drop links of the bars: bolts torqued");
        say(8, "Lock and torque, to the maker's figures", texts, true);
    }

    void read_again() {
        say(9, "Read everything again", {"Settle the car, then read flags, camber, heights and weights."}, true);
        expect_everywhere("expected at the end");
    }

    const Plan& plan_;
    const Car& car_;
    const Choice& choice_;
    Walk walk_;
    Card card_;
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

Card card(const Plan& plan, const Car& given, Which which) {
    const Choice* choice = plan.choice(which);
    if (!choice)
        throw OutOfReach("this plan has no choice inside tolerance: " +
                         (plan.refusals.empty() ? "" : plan.refusals[0]));
    const Car car = as_read(given, plan.measured.read);
    return Writer(plan, car, which, *choice).written();
}

}  // namespace shimwise
