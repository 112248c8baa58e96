// The effect table: every adjuster of a corner against every output, with something held.
#pragma once

#include <string_view>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/motion/rates.hpp"

namespace shimwise {

/// What a row is about. Per `turn`, `mm` or `kg` (of ballast) it is a derivative, a step is the true difference.
enum class Per { turn, mm, step_up, step_down, kg };

struct EffectRow {
    std::size_t adjuster = 0;
    Per per = Per::mm;
    double amount_mm = 0.0;  // signed
    Outputs<double> change;
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

/// "step longer", "step thicker", "step toward the spring", ...: a sign is never shown alone.
std::string_view row_name(const Adjuster& adjuster, Per per);

}  // namespace shimwise
