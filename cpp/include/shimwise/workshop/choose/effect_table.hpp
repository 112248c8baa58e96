// The effect tables: every adjuster of a corner against every output, or everything that is set of the whole car
// against every value of it, something held. Rows by steps are what a hand can do; the rest are derivatives.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shimwise/motion/rates.hpp"
#include "shimwise/rest/solid.hpp"

namespace shimwise {

/// What a row is about. Per `turn` (of the rack: of the steering wheel), `flat`, `mm` or `kg` (of ballast) it is a
/// derivative, a step is the true difference.
enum class Per { turn, flat, mm, step_up, step_down, kg };

struct EffectRow {
    std::size_t variable = 0;  // adjuster of the corner, or variable of the car
    Per per = Per::mm;
    double amount = 0.0;         // mm or kg, signed
    std::vector<double> change;  // of every output, or value of the car
};

struct EffectTable {
    Hold hold;
    double held_value = 0.0;
    Outputs<double> values;
    std::vector<EffectRow> rows;
};

/// Rows per adjuster where they have sense: thread: turn, mm, one step each way; stack: mm, the thinnest step each way
/// that the shims at hand allow. The state is that of the wheel centre `travel_mm` above its drawn height. Throws
/// OutOfReach.
EffectTable effects(const Car& car, CornerId corner, Held held = Held::contact, double travel_mm = 0.0,
                    double rack_mm = 0.0, const Frame& frame = {});

struct RestTable {
    RestState state;
    std::vector<ValueId> outputs;
    std::vector<RestVariable> variables;
    std::vector<EffectRow> rows;
    std::vector<std::string> left_out;  // steps that cannot be done, and why
};

/// The whole car at rest: rows as those of a corner's table, then pads per mm, ballast per kg, the rack per turn
/// and mm. Throws OutOfReach.
RestTable rest_table(const RestModel& model, const PadHeights& pads_mm = {});

/// The same on solid struts that keep their lengths. Throws OutOfReach.
RestTable solid_table(const RestModel& model, const PadHeights& pads_mm, const StrutLengths& struts_mm);

/// The same table with a row per flat behind each adjuster's row per turn: a flat is what a spanner counts.
EffectTable with_flats(EffectTable table);
RestTable with_flats(RestTable table);

/// The way of an amount in mm: "longer", "thinner", "toward the spring".
std::string_view way_words(const Adjuster& adjuster, double amount_mm);

/// "step longer", "step thicker", "step toward the spring", ...: a sign is never shown alone.
std::string row_name(const Adjuster& adjuster, Per per);

}  // namespace shimwise
