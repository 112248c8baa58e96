// What was done instead of what a card says.
#pragma once

#include <string>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/workshop/amounts.hpp"

namespace shimwise {

/// The car after a card, one adjuster as it was really set; a change counts from `before` the card. The shims of a pack
/// come from its box as it is after the card, and what is fitted in fact is never refused: a pack that no shims at hand
/// make is written down as it was said, and a note says so. Throws InputError where the car has no such adjuster, a
/// limit is broken, or words of a thread do not say from where they count.
Car done_instead(const Car& before, const Car& after, const std::string& key, const Words& words,
                 std::vector<std::string>& notes);

}  // namespace shimwise
