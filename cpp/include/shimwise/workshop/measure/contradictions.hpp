// Whether a sheet of readings contradicts the car and itself, and which single slip would explain it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

enum class SlipKind { none, flag, camber, sign, height, scale, flags_exchanged, sides_exchanged, string_end, settings };
inline constexpr std::array<std::string_view, 10> slip_names = {
    "nothing wrong",   "flag",       "camber",        "lost sign", "height", "scale", "flags exchanged",
    "sides exchanged", "string end", "other settings"};

/// One explanation of a sheet.
struct Slip {
    SlipKind kind = SlipKind::none;
    std::vector<std::string> inputs = {};  // keys of those to read again
    double amount = 0.0;                   // likeliest, what is read too much; 0 where it is no amount
    std::string unit = {};
    double odds = 1.0;        // against nothing wrong, to one
    double chance = 0.0;      // among all that are compared
    double chi_square = 0.0;  // of the sheet, this slip undone
    std::string words = {};   // "the camber of front left has the wrong sign"
};

struct Contradictions {
    std::vector<Slip> slips;  // likeliest first; nothing wrong among them
    int degrees = 0;          // values that were compared
    double chi_square = 0.0;  // of the sheet as it stands
    double p = 1.0;           // probability of more
    bool fits = true;         // by noise that may be `larger_noise` times as large as stated
    /// Where it is to be said before anything is turned: what is likely wrong and what to read again; else empty.
    std::string doubt;
    std::string at;  // the field of the readings to look at; empty: all of them
};

/// A sheet is doubted where its likeliest slip is this many times likelier than nothing wrong.
inline constexpr double doubted_odds = 20.0;
/// Instruments are now and then worse than their papers say: so much worse is no contradiction.
inline constexpr double larger_noise = 1.5;
/// What is left at a smaller probability by that noise is not explained.
inline constexpr double explained_p = 0.001;

/// All readings beside the car at rest, by what instruments, settling and the car's own uncertainty (`Known`) allow.
/// Prior: 0.8 for nothing wrong, the rest evenly over kinds, then places; amounts half normal, half at the sizes at
/// which people misread. Residual r and signature g whitened: the log evidence of an amount of width s is that of r.r -
/// b^2/A less ln(s^2 A)/2, A = g.g + 1/s^2, b = g.r; the scale of all noise is integrated out (Student, 50 degrees).
/// Nothing where the car does not stand by the model, nothing was read, or what is allowed has no inverse in the digits
/// there are. `car` is the one given to `reduce`.
std::optional<Contradictions> contradictions(const Measured& measured, const Car& car);

}  // namespace shimwise
