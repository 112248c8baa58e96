// The car at rest on its springs: the minimum of the potential energy over the chassis' pose, every wheel on its pad.
#pragma once

#include <Eigen/Core>

#include "shimwise/rest/model.hpp"
#include "shimwise/rest/values.hpp"

namespace shimwise {

using PadHeights = std::array<double, corner_count>;  // mm along plumb, each pad level by itself

/// Throws InputError where a pad is no number or lies farther from the common zero than any floor does. What takes pads
/// asks this first.
void check_pads(const PadHeights& pads_mm);

/// The chassis over plumb, in ISO 8855's order (yaw 0, pitch, roll): height of its origin, pitch + = nose down, roll +
/// = left side up; twist: the front half rolls by roll + twist / 2, the rear half by roll - twist / 2.
struct ChassisPose {
    double height_mm = 0.0, pitch_rad = 0.0, roll_rad = 0.0, twist_rad = 0.0;
};

/// Energy of the car with the chassis held at a pose and every wheel on its pad, its slope and curvature in (height mm,
/// pitch, roll, twist rad). Stops are left out. Throws OutOfReach where a wheel cannot follow.
struct RestEnergy {
    double energy_Nmm = 0.0;
    Eigen::Vector4d gradient;
    Eigen::Matrix4d hessian;
    std::array<double, corner_count> load_N{};  // of each contact, along plumb: dV/d(pad height)
};
RestEnergy rest_energy(const RestModel& model, const ChassisPose& pose, const PadHeights& pads_mm = {});

/// How a corner stands, beside its values.
struct RestCorner {
    double half_tan = 0.0;    // of the pose
    Vec3<double> contact_mm;  // chassis frame (of its half)
    Vec3<double> plumb;       // up along gravity, there
    Vec3<double> normal;      // of the ground plane, there
    Outputs<double> in_chassis{};
    StrutLoad load;
    std::optional<double> to_shortest_mm;    // of the damper
    std::optional<double> to_droop_stop_mm;  // 0 on it
    std::optional<double> to_rubber_mm;      // below 0: squeezed
    /// Outboard from the middle of the disc's width, of a setup wheel that stands just where its contact jumps between
    /// edge and middle: it stands in between. Derivatives keep it there.
    std::optional<double> on_width_mm;
    bool on_droop_stop = false;
    double stop_pull_N = 0.0;  // of the droop stop
    double missing_N = 0.0;    // load at the wheel that it takes away: pull * motion ratio
};

struct RestState {
    ChassisPose pose;  // over plumb
    std::array<RestCorner, corner_count> corners;
    RestValues<double> values;
    std::vector<double> energies_Nmm;  // step by step
};

/// Rest: the slope of the energy is zero, by Newton's method with its exact Hessian; a step that raises the energy is
/// halved. It begins at the drawing; where that leads nowhere (springs slack, stops closed), at where the same car
/// rests on soft tyres and soft stops. Dampers on their droop stops are rigid links while they pull. Throws OutOfReach
/// and names what cannot be: a wheel off its pad, a spring that would have to pull, a damper past its shortest, a
/// linkage or a drop link at its end, four closed stops under a rigid chassis.
RestState rest(const RestModel& model, const PadHeights& pads_mm = {});

/// The model whose discs stand where they do in this state: narrowed to that circle of their width. Nothing where none
/// stands between edge and middle. What derives anything from a state asks this first.
std::optional<RestModel> with_contacts_of(const RestModel& model, const RestState& state);

}  // namespace shimwise
