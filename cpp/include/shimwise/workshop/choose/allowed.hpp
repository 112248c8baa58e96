// What can be set of an adjuster: whole steps of a thread, packs of the shims at hand; what that takes, and by how much
// a hand will miss it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/workshop/choose/stock.hpp"

namespace shimwise {

/// What a hand can set: mm of a thread's step, or the thinnest shim fitted or in the box (1 mm where there is none).
double hand_step_mm(const Car& car, const Adjuster& adjuster);

/// Changes of the amount by one step up and one down; 0 where there is none. A thread: its step longer and shorter,
/// limits or not; a stack: the next thicker and the next thinner pack of its shims and those in its box.
std::pair<double, double> one_step_mm(const Car& car, const Adjuster& adjuster);

/// Every pack of a stack's shims and those in its box within its limits, ascending.
std::vector<StackChoice> packs_at_hand(const Car& car, const Stack& stack);

/// "no shims at hand make 3.25 mm: 3.2 mm (2.0 + 1.0 + 0.2 mm) or 3.3 mm can be made", by the packs beside it of those
/// given, ascending; empty where one of them is within `near_mm` of the total.
std::string not_made_words(const std::vector<StackChoice>& packs, double total_mm, double near_mm);
inline constexpr double same_pack_mm = 1e-9;

/// mm squared by which a setting misses its amount: a thread that is turned by its settability, a stack by each shim
/// that goes in or out. `moved`: how many those are; of a thread 1; 0 where nothing is touched.
double setting_variance_mm2(const Adjuster& adjuster, std::size_t moved);

struct AllowedSetting {
    double setting = 0.0;       // turns of a thread from as drawn, thickness of a stack in mm
    double amount_mm = 0.0;     // from as drawn
    double steps = 0.0;         // from the present one, in steps of a hand or thinnest shims
    double variance_mm2 = 0.0;  // by which the amount will be missed
    double minutes = 0.0;
    std::optional<StackChoice> shims;
};

struct Allowed {
    std::vector<AllowedSetting> settings;  // ascending
    std::optional<std::size_t> present;    // where it stands now; nothing: that breaks a limit
    double step_mm = 0.0;                  // of `steps`
};

/// Whether anything in the car file says how far a thread may be turned.
bool limited(const Thread& thread);

/// No thread is turned further in one go; without limits less far.
inline constexpr double most_turns = 40.0;
inline constexpr double most_turns_without_limits = 10.0;

/// Whole steps of a thread from as it stands, inside its limits, all other adjusters as they stand.
Allowed allowed_turns(const Car& car, CornerId id, const Adjuster& adjuster);

/// Packs of a stack's own shims and those at hand for it, inside its limits.
Allowed allowed_packs(const Adjuster& adjuster, const std::vector<double>& at_hand_mm);

/// One thing that can be set near an exact amount, and how far that is from it. Both from as it stands.
struct NearSetting {
    double amount_mm = 0.0;
    double off_steps = 0.0;
};
/// Nearest first: of a thread so many steps either side and as it stands, of a stack these packs. Limits are not asked.
std::vector<NearSetting> settings_near(const Adjuster& adjuster, double step_mm, const std::vector<StackChoice>& packs,
                                       double amount_mm, int steps);

/// The nearest turns on either side at which a thread can be locked; nothing where it can be locked as it is.
std::optional<std::pair<double, double>> locks_beside(const Thread& thread, double turns);

}  // namespace shimwise
