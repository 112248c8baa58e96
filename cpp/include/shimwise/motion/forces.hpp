// Forces in a corner for a load at the contact: members, joints, pickups, rocker.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "shimwise/motion/position.hpp"
#include "shimwise/motion/setup.hpp"

namespace shimwise {

/// What pulls or pushes along a line between two joints. `spring`: all that sits in its line, damper and rubber too.
enum class Member {
    upper_wishbone_front_leg,
    upper_wishbone_rear_leg,
    lower_wishbone_front_leg,
    lower_wishbone_rear_leg,
    track_rod,
    pushrod,
    spring,
    drop_link,  // carries something only where the whole car stands
};
inline constexpr std::size_t member_count = 8;
inline constexpr std::array<std::string_view, member_count> member_names = {"upper_wishbone.front_leg",
                                                                            "upper_wishbone.rear_leg",
                                                                            "lower_wishbone.front_leg",
                                                                            "lower_wishbone.rear_leg",
                                                                            "track_rod",
                                                                            "pushrod",
                                                                            "spring",
                                                                            "drop_link"};

struct JointForce {
    Point point = Point::wheel_centre;
    Vec3<double> force_N;
};

/// A force on a body of the corner, and where it acts. Chassis frame.
struct Acting {
    Body on = Body::upright;  // or a wishbone, or the rocker
    Vec3<double> at_mm;
    Vec3<double> force_N;
};

/// Chassis frame. Every force is on the body that its list names.
struct Forces {
    Vec3<double> load_N;      // of the ground on the wheel
    Vec3<double> contact_mm;  // where it acts
    /// By Member, tension +. Nothing where the corner has no such member, and for both legs of a wishbone that carries
    /// the strut or a drop link: it is a beam, and its legs are bent.
    std::array<std::optional<double>, member_count> axial_N;
    std::vector<JointForce> on_upright;
    std::vector<JointForce> on_chassis;  // at a wishbone's pickup: the part across its pickup axis
    double along_upper_pickups_N = 0.0;  // on the chassis along the pickup axis, both pickups together, + = forward
    double along_lower_pickups_N = 0.0;
    std::optional<Vec3<double>> rocker_moment_Nmm;  // on the chassis at rocker.axis_point, across the rocker's axis
    double out_of_balance_N = 0.0;  // worst body, with all that acts on it; moments over the distance of outer joints
};

/// Equilibrium of upright, wishbones and rocker. The load acts on the upright as on one rigid body: what brakes sits at
/// the wheel. Nothing has weight; bar, drop link and third spring carry nothing. Precondition: `solved` is a state of
/// `setup` with status ok. Throws OutOfReach where the linkage is at its toggle.
Forces forces(const Setup& setup, const Solved& solved, const Vec3<double>& load_N);

/// The same on a ground across the unit vector `up`, where more acts: weights, a drop link, a third element.
Forces forces(const Setup& setup, const Solved& solved, const Vec3<double>& load_N, const Vec3<double>& up,
              const std::vector<Acting>& more);

/// The same as set, with the wheel centre `travel_mm` above its drawn height. Throws OutOfReach.
Forces forces(const Corner& corner, const Vec3<double>& load_N, double travel_mm = 0.0, double rack_mm = 0.0);

}  // namespace shimwise
