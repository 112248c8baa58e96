#include "shimwise/rest/wheel_rates.hpp"

#include "rest/system.hpp"

namespace shimwise {
namespace {

using namespace rest_system;
using Eigen::Index;
using Eigen::Matrix2d;
using Eigen::Vector2d;

/// Heights of an axle's contacts by their half tangents: slope and curvature.
struct Rise {
    Vector2d slope, curvature;

    /// How loads grow per mm of rise (row: whose load, column: which wheel rises): from second derivatives of an energy
    /// that has the loads times the heights taken off.
    Matrix2d per_mm(const Matrix2d& by_half_tans) const {
        return by_half_tans.cwiseQuotient(Matrix2d(slope * slope.transpose()));
    }
    Matrix2d per_mm(const ByHalfTans& energy) const {
        const Vector2d load_N = energy.slope.cwiseQuotient(slope);
        return per_mm(Matrix2d(energy.curvature - Matrix2d(load_N.cwiseProduct(curvature).asDiagonal())));
    }
};

/// What a corner carries by itself, from the second derivatives of its strut's length L and contact's height H by the
/// half tangent: MR = -L_a / H_a, dMR/dz = -(L_aa - L_a H_aa / H_a) / H_a^2.
WheelRate own_rate(const CornerJets<newton_locals>& jets, const StrutLoad& load) {
    const auto slope = [](const Jet<newton_locals>& jet) { return jet.by[by_half_tan]; };
    const auto curvature = [](const Jet<newton_locals>& jet) { return jet.and_by[by_half_tan][by_half_tan]; };
    const double rise = slope(jets.height), shorter = -slope(jets.spring_length);
    const double bent = curvature(jets.height) / rise;  // a slope's change that is the height's own
    const double ratio = shorter / rise;
    const auto per_mm = [&](double slope_now, double curvature_now) {
        return (curvature_now - slope_now * bent) / (rise * rise);
    };
    WheelRate r;
    r.spring_N_per_mm = load.spring_N_per_mm * ratio * ratio;
    r.rubber_N_per_mm = load.rubber_N_per_mm * ratio * ratio;
    r.load_N_per_mm = load.total_N() * per_mm(shorter, -curvature(jets.spring_length));
    r.unsprung_N_per_mm =
        per_mm(slope(jets.energy), curvature(jets.energy)) - r.spring_N_per_mm - r.rubber_N_per_mm - r.load_N_per_mm;
    return r;
}

/// One wheel's rate while the other one rises by `other` times as much.
WheelRate with_other(WheelRate own, const Matrix2d& bar, const Matrix2d& third, const Matrix2d& total, Index wheel,
                     double other) {
    const auto both = [&](const Matrix2d& m) { return m(wheel, wheel) + other * m(wheel, 1 - wheel); };
    own.bar_N_per_mm = both(bar);
    own.third_N_per_mm = both(third);
    own.total_N_per_mm = both(total);
    return own;
}

}  // namespace

WheelRates wheel_rates(const RestModel& m, const RestState& state) {
    if (const auto kept = with_contacts_of(m, state)) return wheel_rates(*kept, state);
    RestModel rigid = m;
    rigid.give_mm_per_N = {};
    const Posture at = posture(state);
    const SetCorners set = set_corners(rigid);
    const System s = system(rigid, set, at, {});
    const std::array<Coupling, 2> coupled = couplings(rigid, set, at);
    WheelRates rates;
    for (std::size_t axle = 0; axle < 2; ++axle) {
        Rise rise;
        std::array<WheelRate, 2> own;
        for (std::size_t side = 0; side < 2; ++side) {
            const std::size_t c = 2 * axle + side;
            const CornerJets<newton_locals> jets =
                corner_jets(rigid, c, numbers_at(set[c], at.half_tan[c]),
                            Up(turn(at.pose.pitch_rad, at.pose.roll_rad + at.pose.twist_rad * share_of(c))));
            rise.slope(static_cast<Index>(side)) = jets.height.by[by_half_tan];
            rise.curvature(static_cast<Index>(side)) = jets.height.and_by[by_half_tan][by_half_tan];
            own[side] = own_rate(jets, state.corners[c].load);
        }
        const Index first = of(half_tan, 2 * axle);
        const Matrix2d bar = rise.per_mm(coupled[axle].bar), third = rise.per_mm(coupled[axle].third),
                       total = rise.per_mm(Matrix2d(s.matrix.block<2, 2>(first, first)));
        for (std::size_t side = 0; side < 2; ++side) {
            const auto rate = [&](double other) {
                return with_other(own[side], bar, third, total, static_cast<Index>(side), other);
            };
            if (at.on_stop[2 * axle + side]) continue;
            rates.axles[axle].single[side] = rate(0.0);
            if (at.on_stop[2 * axle + 1 - side]) continue;
            rates.axles[axle].bump[side] = rate(1.0);
            rates.axles[axle].roll[side] = rate(-1.0);
        }
    }
    return rates;
}

}  // namespace shimwise
