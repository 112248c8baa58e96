// Amounts as a person writes them, in one grammar wherever they stand (docs/formats.md): "+2 flats", "1 1/2 flats
// longer", "half a turn shorter", "=1.5 turns", "2.0 + 0.5 mm", "no shim". What words.hpp writes is read here.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "shimwise/model/adjuster.hpp"

namespace shimwise {

/// What was written: a number, the shims of a pack, or words; and how a message repeats it.
struct Words {
    using Said = std::variant<std::monostate, double, std::vector<double>, std::string>;

    Words(Said what, std::string as_shown);
    Words(double number);
    Words(std::vector<double> shims_mm);
    Words(std::string text);
    Words(const char* text) : Words(std::string(text)) {}

    Said said;  // nothing: none of these
    std::string shown;
};

/// From where an amount counts: as a change from how it stands, or as the setting itself: of a thread from as drawn, of
/// a pack in all.
enum class From { now, drawn };

struct Amount {
    From from = From::now;
    bool from_said = true;                        // a sign, a way, "=", a list or a sum says from where
    double size = 0.0;                            // turns of a thread, mm of a pack; of a change with its sign
    std::optional<std::vector<double>> shims_mm;  // of the pack itself
    std::string taken;                            // what it was taken for, in words
    bool plain = true;                            // the words said that themselves
};

/// What words say of an adjuster. A sign ("+", "-") or a way ("longer", "toward the spring", "thinner") counts from how
/// it stands, "=" or none of these is the setting itself. Units of a thread: turn, half turn, quarter turn, flat, half
/// flat, quarter flat, step, mm; a pack is in mm. A bare number, no text, is turns, or mm of a change of a pack, and
/// counts from `numbers`: a pack itself is a list. `key`, "corner.adjuster name", is for messages. Throws InputError
/// where the words are none of these.
Amount amount(const std::string& key, const Adjuster& adjuster, const Words& words, From numbers = From::now);

/// Of a thread that has this amount: turns from as drawn, and from how it stands.
double turns_from_drawn(const Amount& amount, const Thread& thread);
double turns_from_now(const Amount& amount, const Thread& thread);
/// What it is set to then: turns from as drawn, or the whole thickness of a pack.
double setting_of(const Amount& amount, const Adjuster& adjuster);

/// By how much a value changes: a number in its own unit, or words such as "+0.25 deg", "-1/2 mm", "0.5 %". Of toe,
/// with the span of the flags in mm, also mm at the flags: front flag less rear flag. `by` is in the value's unit.
struct ValueChange {
    double by = 0.0;
    std::optional<double> at_flags_mm;  // where it was given so
};
/// `name` is for messages. Throws InputError.
ValueChange value_change(const std::string& name, const Words& words, std::string_view unit,
                         std::optional<double> flag_span_mm = {});

}  // namespace shimwise
