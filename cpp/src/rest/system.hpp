// The equations of rest at a posture: energy, residual and the symmetric matrix of all its second derivatives.
#pragma once

#include <Eigen/Core>

#include "rest/set_corner.hpp"

namespace shimwise::rest_system {

using Eigen::Index;

// The unknowns: the chassis over plumb, each corner's half tangent, load at its contact and pull of its droop stop. One
// that does not take part (twist of a rigid chassis, pull of an open stop) has a row that says it stays 0.
inline constexpr Index height = 0, pitch = 1, roll = 2, twist = 3, half_tan = 4, load = 8, pull = 12, unknowns = 16;
using Vector = Eigen::Matrix<double, unknowns, 1>;
using Matrix = Eigen::Matrix<double, unknowns, unknowns>;

inline Index of(Index kind, std::size_t corner) { return kind + static_cast<Index>(corner); }

struct Posture {
    ChassisPose pose;
    std::array<double, corner_count> half_tan{};
    std::array<double, corner_count> load_N{};
    std::array<double, corner_count> pull_N{};
    std::array<bool, corner_count> on_stop{};
};

Posture posture(const RestState& state);

/// How the chassis is turned at each share of its twist; of one that is not twisted it is found once.
class Turns {
public:
    Turns() : Turns(ChassisPose()) {}
    explicit Turns(const ChassisPose& pose) : pose_(pose), level_(turn(pose.pitch_rad, pose.roll_rad)) {
        if (!twisted()) return;
        front_ = turned_by(share_of(0));
        rear_ = turned_by(share_of(corner_count - 1));
    }

    Turn<double> at(double share) const { return twisted() ? turned_by(share) : level_; }
    const Turn<double>& at_corner(std::size_t c) const { return !twisted() ? level_ : c < 2 ? front_ : rear_; }

private:
    bool twisted() const { return pose_.twist_rad != 0.0; }
    Turn<double> turned_by(double share) const {
        return turn(pose_.pitch_rad, pose_.roll_rad + pose_.twist_rad * share);
    }

    ChassisPose pose_;
    Turn<double> level_, front_ = level_, rear_ = level_;
};

/// Of the Lagrangian V - sum load (h + H - pad) + sum pull (L - longest), where h + H is a contact's height over plumb.
/// The load of a corner that is not on its stop is what its strut asks for, V_t / H_t by the half tangent t (on a tyre:
/// what its squeeze gives): Newton's step is then that of the energy with all wheels kept on their pads.
struct System {
    double energy_Nmm = 0.0;                         // V; the energy of tyres included
    bool closes = true;                              // every linkage and every drop link
    std::array<double, corner_count> off_mm{};       // h + H - pad
    std::array<double, corner_count> off_stop_mm{};  // L - longest, on stops
    std::array<double, corner_count> load_N{};
    Vector residual = Vector::Zero();
    Matrix matrix = Matrix::Zero();
};
/// x of matrix x = right, one column or many. Singular: not finite.
Vector solve(const Matrix& matrix, const Vector& right);
Eigen::Matrix<double, unknowns, Eigen::Dynamic> solve_all(const Matrix& matrix,
                                                          const Eigen::Matrix<double, unknowns, Eigen::Dynamic>& right);
System system(const RestModel& model, const SetCorners& corners, const Posture& at, const PadHeights& pads_mm);
/// The same of what the corners add there, where every linkage and every drop link closes.
System system(const RestModel& model, const Turns& turns,
              const std::array<CornerJets<newton_locals>, corner_count>& corners, const Posture& at,
              const PadHeights& pads_mm);

/// The sign of the determinant tells a minimum from a saddle: every load and every pull of a closed stop brings one
/// negative eigenvalue, and at a minimum there are no others.
struct NewtonStep {
    Vector step;
    bool positive_determinant = true;
};
NewtonStep newton_step(const System& system);

/// Slope and curvature of an energy by the half tangents of an axle, left and right.
struct ByHalfTans {
    Eigen::Vector2d slope = Eigen::Vector2d::Zero();
    Eigen::Matrix2d curvature = Eigen::Matrix2d::Zero();
};

/// The energies that couple the two corners of an axle; zero where there is no such thing.
struct Coupling {
    ByHalfTans bar, third;
};
std::array<Coupling, 2> couplings(const RestModel& model, const SetCorners& corners, const Posture& at);

/// Derivatives of the residual, one column each: every setting of every corner per mm in order, every pad's height,
/// every ballast's kg, the rack.
Eigen::Matrix<double, unknowns, Eigen::Dynamic> by_parameters(const RestModel& model, const Posture& at);

}  // namespace shimwise::rest_system
