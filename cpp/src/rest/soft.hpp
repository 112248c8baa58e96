// The search for rest from anywhere. On soft tyres and between soft stops nothing is held and the energy is smooth:
// descent alone comes near to rest, through slack springs and onto closed stops, however far off it begins.
#pragma once

#include <array>
#include <optional>

#include "rest/system.hpp"

namespace shimwise {

/// Where a descent begins: corners as near to their drawing as they close with their dampers inside their travel; or
/// these shares of the dampers' travel. One that ends where a linkage does may stand from another start.
inline constexpr std::array<std::optional<double>, 4> soft_starts = {std::nullopt, 0.25, 0.5, 0.75};

/// A posture within some micrometres of rest, with the dampers that are on their droop stops. Throws OutOfReach where
/// there is none between the dampers' shortest lengths and the ends of the linkages.
rest_system::Posture soft_rest(const RestModel& model, const SetCorners& corners, const PadHeights& pads_mm,
                               const std::optional<double>& travel_share);

}  // namespace shimwise
