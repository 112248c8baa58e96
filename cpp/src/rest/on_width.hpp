// A setup wheel so upright that its contact is neither at the edge of its disc nor in the middle: it stands on a part
// of its width.
#pragma once

#include "rest/search.hpp"

namespace shimwise {

struct OnWidth {
    RestModel model;  // discs narrowed to the circles that they stand on
    rest_system::Posture at;
    std::array<std::optional<double>, corner_count> on_width_mm;  // outboard from the middle of the width
    std::vector<double> energies_Nmm;                             // of the last steps
};

/// Rest of a car that a search has left at the jump of a contact: that contact's place across the disc is looked for,
/// at which the wheel leans by just the angle of the jump. Other wheels that jump then join it. Throws OutOfReach where
/// there is no such place.
OnWidth on_width(const RestModel& model, const PadHeights& pads_mm, const ContactJumps& jump);

}  // namespace shimwise
