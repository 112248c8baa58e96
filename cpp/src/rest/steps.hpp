// What both searches for rest do with a posture.
#pragma once

#include "rest/system.hpp"

namespace shimwise::rest_system {

Posture moved(const Posture& from, const Vector& step, double share);

/// The largest movement of the chassis in a step, mm: angles over a metre.
double size(const Vector& step);

/// The chassis where these contacts come nearest to the pads.
ChassisPose nearest_to_pads(const std::array<Vec3<double>, corner_count>& contacts, const PadHeights& pads_mm);
/// Those of these half tangents.
ChassisPose nearest_to_pads(const SetCorners& corners, const std::array<double, corner_count>& half_tans,
                            const PadHeights& pads_mm);

Standing<double> standing(const Posture& at, const PadHeights& pads_mm);
/// Throws OutOfReach where the drop link does not reach the bar's arm.
void demand_drop_link(const Riders& riders, const SetCorner& corner, const Pose<double>& pose,
                      const Strut<double>& strut);

}  // namespace shimwise::rest_system
