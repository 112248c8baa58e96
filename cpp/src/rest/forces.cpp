#include "shimwise/rest/forces.hpp"

#include <cmath>
#include <cstdio>

#include "motion/at_corner.hpp"
#include "motion/equilibrium.hpp"
#include "shimwise/error.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {
namespace {

using namespace equilibrium;

/// A corner as it stands.
struct Stood {
    Solved solved;
    Riding<double> riding;

    Stood(const RestModel& m, const RestState& state, std::size_t c) {
        const Setup& setup = m.setups[c];
        const Parts<double> parts = setup.parts();
        const Linkage<double> l = linkage(setup.geometry, parts);
        solved.half_tan = state.corners[c].half_tan;
        solved.pose = pose(l, solved.half_tan);
        solved.strut = strut(l, solved.pose);
        riding = shimwise::riding(m.riders[c], parts, l, solved.pose, solved.strut);
    }
};

/// The pull of a drop link whose arm is turned by `torque_Nmm` about the bar's axis: with n the link's direction from
/// the arm's end and a the arm, pull * axis . (a x n) = torque. Throws OutOfReach where the link points at the axis.
double drop_link_pull(const BarArm& bar, const Riding<double>& r, double torque_Nmm) {
    const Vec3<double> along = direction(bar.circle.centre + r.bar_arm, r.drop_link);
    const double lever_mm = dot(bar.circle.axis, cross(r.bar_arm, along));
    if (!(std::fabs(lever_mm) * tolerances::largest_force >= size(r.bar_arm))) {
        char text[120];
        std::snprintf(text, sizeof text, "the drop link is at its toggle: it passes the bar's axis at %.4f mm",
                      std::fabs(lever_mm));
        throw OutOfReach(text);
    }
    return torque_Nmm / lever_mm;
}

/// Both bearings take what the drop links leave over; about the axis the two arms turn against each other.
BarForces bar_forces(const Bar& bar, const std::array<Vec3<double>, 2>& arm_mm,
                     const std::array<Vec3<double>, 2>& arm_N, double torsion_Nmm) {
    BarForces f;
    f.arm_mm = arm_mm;
    f.arm_N = arm_N;
    f.torsion_Nmm = torsion_Nmm;
    std::vector<Applied> all = {{arm_mm[0], arm_N[0]}, {arm_mm[1], arm_N[1]}};
    const Bearings taken = bearings(bar.bearing[0], bar.bearing[1], all);
    f.bearing_N = {taken.front, taken.rear};
    f.along_bearings_N = taken.along;

    const Vec3<double> axis = direction(bar.bearing[1], bar.bearing[0]);
    const double per_mm = 1.0 / size(bar.bearing[0] - bar.bearing[1]);
    for (const double side : {1.0, -1.0}) {
        const std::vector<Applied> arm = {all[side > 0.0 ? 0 : 1]};
        const double turned_Nmm = dot(axis, sum(arm, bar.bearing[0]).moment);
        f.out_of_balance_N = larger(f.out_of_balance_N, std::fabs(turned_Nmm - side * torsion_Nmm) * per_mm);
    }
    all.push_back({bar.bearing[0], -(f.bearing_N[0] + axis * f.along_bearings_N)});
    all.push_back({bar.bearing[1], -f.bearing_N[1]});
    const Sum left = sum(all, arm_mm[0]);
    f.out_of_balance_N = larger(f.out_of_balance_N, size(left.force));
    f.out_of_balance_N = larger(f.out_of_balance_N, size(left.moment) * per_mm);
    return f;
}

/// What couples the two corners of an axle, as the drop links and the third element's ends bring it to them.
void couple(const RestModel& m, const RestState& state, const std::vector<Stood>& stood, std::size_t axle,
            RestForces& all, std::array<std::optional<double>, corner_count>& drop_link_N) {
    const std::array<std::size_t, 2> both = {2 * axle, 2 * axle + 1};
    if (m.riders[both[0]].has_bar) {
        const double torsion_Nmm = state.values.car[index(CarOutput::front_bar_torque) + axle] * mm_per_m;
        std::array<Vec3<double>, 2> arm_mm, arm_N;
        for (std::size_t side = 0; side < 2; ++side) {
            const std::size_t c = both[side];
            const BarArm& bar = m.riders[c].bar;
            const Riding<double>& r = stood[c].riding;
            const double pull_N = at_corner(static_cast<CornerId>(c), [&] {
                return drop_link_pull(bar, r, side == 0 ? torsion_Nmm : -torsion_Nmm);
            });
            arm_mm[side] = bar.circle.centre + r.bar_arm;
            arm_N[side] = direction(arm_mm[side], r.drop_link) * pull_N;
            all.corners[c].drop_link = {m.setups[c].geometry.drop_link_on, r.drop_link, -arm_N[side]};
            drop_link_N[c] = pull_N;
        }
        all.bars[axle] = bar_forces(*m.car.bars[axle], arm_mm, arm_N, torsion_Nmm);
    }
    if (m.riders[both[0]].has_third) {
        const double load_N = state.values.car[index(CarOutput::front_third_load) + axle];
        const double push_N = m.car.thirds[axle]->carries_pull ? -load_N : load_N;
        const Vec3<double>&left = stood[both[0]].riding.third, &right = stood[both[1]].riding.third;
        const Vec3<double> on_left_N = direction(right, left) * push_N;
        all.corners[both[0]].third = {Body::rocker, left, on_left_N};
        all.corners[both[1]].third = {Body::rocker, right, -on_left_N};
    }
}

}  // namespace

RestForces rest_forces(const RestModel& m, const RestState& state) {
    if (const auto kept = with_contacts_of(m, state)) return rest_forces(*kept, state);
    RestForces all;
    std::vector<Stood> stood;
    for (std::size_t c = 0; c < corner_count; ++c) stood.emplace_back(m, state, c);
    std::array<std::optional<double>, corner_count> drop_link_N;
    for (std::size_t axle = 0; axle < 2; ++axle) couple(m, state, stood, axle, all, drop_link_N);
    for (std::size_t c = 0; c < corner_count; ++c)
        at_corner(static_cast<CornerId>(c), [&] {
            RestCornerForces& corner = all.corners[c];
            const Vec3<double>& plumb = state.corners[c].plumb;
            const double load_N = state.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2;
            corner.weight = {Body::upright, stood[c].riding.unsprung_cg,
                             plumb * (-m.car.corners[c].unsprung_kg * gravity_m_per_s2)};
            std::vector<Acting> more = {corner.weight};
            if (corner.drop_link) more.push_back(*corner.drop_link);
            if (corner.third) more.push_back(*corner.third);
            corner.forces = forces(m.setups[c], stood[c].solved, plumb * load_N, plumb, more);
            corner.forces.axial_N[index(Member::drop_link)] = drop_link_N[c];
            if (corner.drop_link && corner.drop_link->on == Body::upright)
                corner.forces.on_upright.push_back({Point::drop_link_outer, corner.drop_link->force_N});
        });
    return all;
}

}  // namespace shimwise
