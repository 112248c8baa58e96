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
/// The same of numbers that are known.
System system(const RestModel& model, const std::array<CornerNumbers<newton_locals>, corner_count>& numbers,
              const Posture& at, const PadHeights& pads_mm);

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
