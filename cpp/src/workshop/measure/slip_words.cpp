#include "workshop/measure/slip_words.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

/// "front_left.flags.front" -> "front left flags front"
std::string aloud(std::string key) {
    std::ranges::replace(key, '.', ' ');
    return spaced_words(key);
}

std::string wheel_of(const std::string& key) { return spaced_words(key.substr(0, key.find('.'))); }

std::string part_of(const std::string& key) { return key.substr(key.find('.') + 1); }

/// The field of a readings file that an input was read from.
std::string field(const std::string& key) {
    const std::string wheel = key.substr(0, key.find('.') + 1), part = part_of(key);
    if (part.starts_with("flags")) return wheel + "flags_mm";
    if (part.starts_with("camber")) return wheel + "camber_deg";
    if (part == "scale") return wheel + "scale_kg";
    if (wheel == "strings.") return part.ends_with("front") ? "strings.front_bar_mm" : "strings.rear_bar_mm";
    return "ride_heights_mm." + part;
}

/// What is exchanged between left and right: "flags", "camber", "scales", "ride height front".
std::string exchanged(const Slip& slip) {
    const std::string& key = slip.inputs.front();
    const std::string part = part_of(key);
    if (part.starts_with("flags")) return "flags of " + wheel_of(key) + " and " + wheel_of(slip.inputs[1]);
    if (part.starts_with("camber")) return "cambers of " + wheel_of(key) + " and " + wheel_of(slip.inputs[1]);
    if (part == "scale") return "scales of " + wheel_of(key) + " and " + wheel_of(slip.inputs[1]);
    return "heights " + spaced_words(part) + " and " + spaced_words(part_of(slip.inputs[1]));
}

std::string times_words(double odds) {
    constexpr double countless = 1e6;
    return odds >= countless ? "more than a million" : fixed_words(odds, 0);
}

/// Others that fit nearly as well: nobody can tell them apart by this sheet.
std::string or_words(const Contradictions& found) {
    constexpr double close = 3.0;
    std::string words;
    const Slip& best = found.slips.front();
    for (std::size_t i = 1; i < found.slips.size() && i < 3; ++i)
        if (found.slips[i].kind != SlipKind::none && best.chance < close * found.slips[i].chance)
            words += ", or " + found.slips[i].words;
    return words;
}

}  // namespace

std::string slip_words(const Slip& slip) {
    switch (slip.kind) {
        case SlipKind::none:
            return "nothing is wrong";
        case SlipKind::sign:
            return "the camber of " + wheel_of(slip.inputs.front()) + " has the wrong sign";
        case SlipKind::flags_exchanged:
            return "the two flags of " + wheel_of(slip.inputs.front()) + " are exchanged";
        case SlipKind::sides_exchanged:
            return "the " + exchanged(slip) + " are exchanged";
        case SlipKind::settings:
            return "the car is not set or loaded as settings and sheet say, or the sheet is of another day";
        default: {
            const int decimals = slip.unit == "deg" ? 2 : 1;
            return aloud(slip.inputs.front()) + " is read about " + fixed_words(std::fabs(slip.amount), decimals) +
                   " " + slip.unit + (slip.amount > 0.0 ? " too high" : " too low");
        }
    }
}

void say(Contradictions& found) {
    const Slip& best = found.slips.front();
    const bool named = best.kind != SlipKind::none && best.odds >= doubted_odds;
    const std::string apart =
        fixed_words(std::sqrt(found.chi_square / found.degrees), 1) + " times as far apart as they may";
    if (!named && found.fits) return;
    if (!named) {
        found.doubt = "the sheet and the car do not fit: their values lie " + apart +
                      ", and no single slip explains it. Read it again, and compare the settings";
        return;
    }
    found.at = best.inputs.empty() ? "" : field(best.inputs.front());
    found.doubt = best.words + or_words(found) + ": " + times_words(best.odds) +
                  " times likelier than that nothing is wrong. Look at that first";
    if (found.degrees > 1 && !fits(best.chi_square, found.degrees - 1))
        found.doubt += "; it is not all that does not fit";
}

}  // namespace shimwise
