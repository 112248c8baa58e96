// Forces in every corner and in the bars of a car at rest, from its weights and its loads alone.
#pragma once

#include "shimwise/motion/forces.hpp"
#include "shimwise/rest/solve.hpp"

namespace shimwise {

/// Of one corner, in the chassis frame of its half: where the chassis twists, front and rear have each their own.
struct RestCornerForces {
    Forces forces;                    // for all that acts; a drop link on the upright is among `on_upright`
    Acting weight;                    // of the unsprung mass
    std::optional<Acting> drop_link;  // its pull on what carries it
    std::optional<Acting> third;      // of the third element
};

/// A bar between its drop links and its bearings, in the chassis frame of its half. Left first.
struct BarForces {
    std::array<Vec3<double>, 2> arm_mm;     // ends of the arms
    std::array<Vec3<double>, 2> arm_N;      // of the drop links on them
    std::array<Vec3<double>, 2> bearing_N;  // on the chassis, across the bar's axis
    double along_bearings_N = 0.0;          // on the chassis along the axis, both together, + = left
    double torsion_Nmm = 0.0;               // carried from arm to arm, + = the left arm is turned the further
    double out_of_balance_N = 0.0;          // moments over the distance of the bearings
};

struct RestForces {
    std::array<RestCornerForces, corner_count> corners;
    std::array<std::optional<BarForces>, 2> bars;  // front, rear; nothing where none is connected
};

/// Each corner in equilibrium under the load of its pad along plumb, its unsprung weight, its drop link's pull and its
/// third element's force. The springs' lengths are not used: each spring's axial force is found as what balances its
/// corner, and equals -(spring + rubber load) + the droop stop's pull where the car is at rest. Precondition: `state`
/// is at rest. Throws OutOfReach where a linkage or a drop link is at its toggle.
RestForces rest_forces(const RestModel& model, const RestState& state);

}  // namespace shimwise
