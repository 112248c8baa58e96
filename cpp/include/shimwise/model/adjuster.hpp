// An adjuster is data: what one millimetre of it changes, how far it can be set, and what a hand needs for it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "shimwise/math/vec3.hpp"
#include "shimwise/model/names.hpp"

namespace shimwise {

/// Adjusters a corner may have: what moves it keeps them in arrays of this size.
inline constexpr std::size_t max_adjusters = 32;

/// What one mm of an adjuster does: a point moves in the drawn frame of the body that carries it, or a length grows.
struct Change {
    std::variant<Point, Length> what;
    Vec3<double> per_mm;  // of a length only x is used
};

enum class Ends { one, left_and_right, same_hand };
inline constexpr std::array<std::string_view, 3> ends_names = {"one", "left_and_right", "same_hand"};

/// Of a rod or leg: toward the wheel, toward the chassis; of a drop link: at the rocker or wishbone, at the bar.
enum class RodEnd { outer, inner };
inline constexpr std::array<std::string_view, 2> rod_end_names = {"outer", "inner"};

/// A threaded rod or platform. Settings are in turns from the drawn length, + = longer (platform: toward the
/// spring; same-hand ends with the coarser thread at the outer end: shorter).
struct Thread {
    double pitch_mm = 0.0;
    double second_pitch_mm = 0.0;  // of the other end where both have the same hand
    std::string designation;       // "M8x1.25", as written; empty where only a pitch was given
    Ends ends = Ends::one;
    double lock_turns = 0.0;  // what can be locked, in turns; 0: anywhere
    double step_turns = 0.0;  // the step of a plan: what it locks at, or is counted in
    double now_turns = 0.0;
    double settable_turns = 0.0;                                // standard uncertainty of setting and locking it
    std::optional<std::pair<double, double>> limits_turns;      // from the drawn length
    std::optional<std::pair<double, double>> length_limits_mm;  // eye to eye
    std::optional<std::pair<double, double>> engaged_mm;        // outer and inner end, at the drawn length
    double least_engaged_mm = 0.0;
    std::optional<RodEnd> left_hand;  // which end has the left-hand thread, of `left_and_right`, where it is said

    /// Length per turn: one end = pitch, left- and right-hand ends = the sum, two ends of one hand = the difference.
    double lead_mm() const;
};

/// A pack of shims. A setting is its total thickness; the amount that moves points is the total less `drawn_with_mm`.
struct Stack {
    Body on = Body::upright;
    double drawn_with_mm = 0.0;
    std::vector<double> fitted_mm;
    std::string box;             // name of a box that corners share; empty: this corner's own `box_mm`
    std::vector<double> box_mm;  // not fitted, at hand; empty where `box` names a shared one
    std::optional<std::pair<double, double>> limits_mm;
    double thickness_uncertainty_mm = 0.0;

    double total_mm() const;
};

struct Adjuster {
    std::string name;
    Purpose purpose = Purpose::toe;
    double minutes = 0.0;
    std::vector<Change> changes;
    std::variant<Thread, Stack> setting;

    const Thread* thread() const { return std::get_if<Thread>(&setting); }
    const Stack* stack() const { return std::get_if<Stack>(&setting); }
    /// mm by which it now differs from as drawn: turns times lead, or thickness less what it was drawn with.
    double amount_mm() const;
    /// The length it turns, where its one change is a length.
    std::optional<Length> length() const;
};

/// What cannot be about a shim of this thickness, in a sentence; empty where nothing is wrong.
std::string shim_fault(double mm);

/// Pitch of "M8x1.25", "M8" (coarse, ISO 261), or "3/8-24" (threads per inch, ASME B1.1); nothing if it is none of
/// these.
std::optional<double> thread_pitch_mm(const std::string& designation);

}  // namespace shimwise
