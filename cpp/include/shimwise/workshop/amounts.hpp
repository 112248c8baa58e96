// Settings and changes as a person writes them: "+2 flats", "1 1/2 flats longer", "2.0 + 0.5 mm", "no shim". What
// words.hpp writes is read here.
#pragma once

#include <string>
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

/// Turns from the drawn length. A number is turns; words are a number with a unit (turn, half turn, flat, half flat,
/// quarter flat, step, mm), counted from the present setting where they have a sign or a way ("longer", "away from the
/// spring"), otherwise from the drawn length. `key`, "corner.adjuster name", is for messages. Precondition: a thread.
/// Throws InputError where the words are none of these.
double thread_setting(const std::string& key, const Adjuster& adjuster, const Words& words);

/// Turns from the present setting, + = longer or toward the spring. As above, but words need a sign or a way: "2 flats"
/// could be meant from the drawn length.
double thread_change(const std::string& key, const Adjuster& adjuster, const Words& words);

/// The shims of a pack in mm, from a list, "2.0 + 0.5 mm" or "no shim". Throws InputError where it is none of these.
std::vector<double> pack_setting(const std::string& key, const Words& words);

/// By how many mm a pack gets thicker (a number, "+0.5 mm", "0.5 mm thinner"), or the shims of the pack that is wanted
/// (as above). Throws InputError where it is none of these.
std::variant<double, std::vector<double>> pack_change(const std::string& key, const Words& words);

}  // namespace shimwise
