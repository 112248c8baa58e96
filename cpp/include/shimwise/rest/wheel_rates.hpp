// Wheel rates of a car at rest: how a wheel's load grows as it rises, the chassis held.
#pragma once

#include "shimwise/rest/solve.hpp"

namespace shimwise {

/// Load of one wheel along plumb per mm of its contact's rise, N/mm. With MR the motion ratio and F the strut's force:
/// k MR^2 of spring and of rubber, F dMR/dz, and what else hangs on the corner.
struct WheelRate {
    double spring_N_per_mm = 0.0;    // rate of spring and helper * MR^2
    double rubber_N_per_mm = 0.0;    // rate of the bump rubber * MR^2
    double load_N_per_mm = 0.0;      // F dMR/dz of both
    double unsprung_N_per_mm = 0.0;  // the unsprung weight's part of the load changes with its lever
    double bar_N_per_mm = 0.0;       // its rate * (turn of its arms per mm)^2, and its torque * how that ratio changes
    double third_N_per_mm = 0.0;     // likewise
    double total_N_per_mm = 0.0;     // from the matrix of rest, all in one
};

/// Left and right. A wheel whose damper is on its droop stop has no rate: it cannot rise before its load has made up
/// for the stop's pull (`RestCorner::missing_N`); there is nothing then, in bump and in roll for both wheels of its
/// axle.
struct AxleRates {
    std::array<std::optional<WheelRate>, 2> single;  // this wheel alone, the other contact stays
    std::array<std::optional<WheelRate>, 2> bump;    // both rise together
    std::array<std::optional<WheelRate>, 2> roll;    // the other one falls as much as this one rises
};

struct WheelRates {
    std::array<AxleRates, 2> axles;  // front, rear
};

/// With V the energy and H the contacts' heights by the half tangents of an axle, the chassis held at rest, N_i = V_i /
/// H_i and
///   dN_i/dz_j = (V_ij - [i = j] N_i H_ii) / (H_i H_j).
/// Tyres give nothing: the rise is the contact's. Precondition: `state` is at rest.
WheelRates wheel_rates(const RestModel& model, const RestState& state);

}  // namespace shimwise
