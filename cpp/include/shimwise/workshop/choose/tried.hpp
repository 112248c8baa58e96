// What if: adjusters turned and packs changed in thought, counted from how they stand.
#pragma once

#include <map>
#include <string>
#include <variant>
#include <vector>

#include "shimwise/model/car.hpp"

namespace shimwise {

/// Keys are "corner.adjuster name".
struct Trial {
    std::map<std::string, double> turns;  // of threads: + = longer, or toward the spring
    /// Of stacks: by how many mm the pack gets thicker, or the shims of the pack that is wanted.
    std::map<std::string, std::variant<double, std::vector<double>>> packs_mm;
};

/// The car with a trial done; the boxes are left as they are. Packs are made from shims at hand, of one box together. A
/// thickness that they do not make is taken all the same, and so is a turn that does not lock: one note for each names
/// the nearest that do. Throws InputError, every fault at once, where the car has no such adjuster or a limit is
/// broken.
Car tried(const Car& car, const Trial& trial, std::vector<std::string>& notes);

/// What is said of a thread turned by so much where it cannot be locked there; else empty.
std::string not_locked_words(const std::string& key, const Adjuster& thread, double turns);

}  // namespace shimwise
