// The front wheels over rack travel, and where Ackermann's rule would have them.
#pragma once

#include <span>

#include "shimwise/model/car.hpp"
#include "shimwise/motion/outputs.hpp"

namespace shimwise {

/// Steer angle of the outer wheel for which all wheels roll about one point: cot(outer) - cot(inner) = track/wheelbase.
/// Same sign as the inner's. Precondition: track_over_wheelbase >= 0, |inner| < pi.
double ideal_outer_rad(double inner_rad, double track_over_wheelbase);

/// What a state of the front axle shows. Steer is counted from the state with the rack centred; inner and outer are
/// sizes, the inner wheel being the one on the side that both are steered to.
enum class Steer { left, right, inner, outer, ideal_outer, ackermann_error };
inline constexpr std::size_t steer_count = 6;
inline constexpr std::array<ValueInfo, steer_count> steer_list = {{
    {"left", "deg", true, "steer of the left wheel from rack centred, + = to the left"},
    {"right", "deg", true, "steer of the right wheel from rack centred, + = to the left"},
    {"inner", "deg", true, "size of the inner wheel's steer"},
    {"outer", "deg", true, "size of the outer wheel's steer"},
    {"ideal_outer", "deg", true, "outer steer by Ackermann's rule: cot(outer) - cot(inner) = track/wheelbase"},
    {"ackermann_error", "deg", true, "outer less ideal outer, + = the outer wheel is steered further than the rule"},
}};

/// Between the contacts with the rack centred and all wheel centres at their drawn heights: mean distance along x of
/// front and rear, and distance across at the front, mm, chassis frame.
struct WheelPlan {
    double wheelbase_mm = 0.0;
    double front_track_mm = 0.0;
};
WheelPlan wheel_plan(const Car& car);

/// Fills block[row][state] in the order of `steer_list`; states are given by rack travel and the travel of both wheel
/// centres, at which steer is counted from rack centred. Chassis frame. Throws OutOfReach.
void steering(const Car& car, std::span<const double> rack_mm, std::span<const double> travel_mm, double* block);

}  // namespace shimwise
