// How far an adjuster can be set: its own limits, its length eye to eye, its thread engagement, its stack.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "shimwise/model/car.hpp"

namespace shimwise {

/// Eye to eye as drawn. Of a wishbone leg: pickup to outer joint; of a drop link: to the bar's arm; of a spring
/// platform: the spring's eyes. Nothing where the corner or its axle does not have the parts.
std::optional<double> drawn_length_mm(const Car& car, CornerId id, Length length);

/// Eye to eye as set: as drawn plus every adjuster of the corner that turns it.
std::optional<double> present_length_mm(const Car& car, CornerId id, Length length);

/// Thread engaged at the outer and the inner end. Left- and right-hand ends lose half of the lengthening each, one end
/// all of it; of two ends of one hand the outer gains its own pitch a turn, the inner loses its own.
/// Precondition: `engaged_mm` is given.
std::pair<double, double> engaged_mm(const Thread& thread, double turns);

/// A limit that a setting breaks: the key of the adjuster that states it, and the rule.
struct BrokenLimit {
    std::string key;
    std::string rule;
};

/// The first limit that `setting` (turns of a thread, thickness of a stack in mm) breaks, all other adjusters as they
/// stand; nothing where it can be set.
std::optional<BrokenLimit> broken_limit(const Car& car, CornerId id, const Adjuster& adjuster, double setting);

/// Whether a thread breaks none there, without the words.
bool can_be_turned_to(const Car& car, CornerId id, const Adjuster& thread, double turns);

/// By how many mm an adjuster acts at a setting; 0 as drawn.
double amount_mm(const Adjuster& adjuster, double setting);

/// Turns of a thread, thickness of a stack, now.
double present_setting(const Adjuster& adjuster);

}  // namespace shimwise
