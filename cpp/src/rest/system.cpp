#include "rest/system.hpp"

#include "rest/elements.hpp"
#include "rest/places.hpp"

namespace shimwise::rest_system {
namespace {

using NewtonCorners = AllJets<newton_locals>;

/// What enters the energy along the half tangents, and what of it along plumb.
struct NewtonJets {
    NewtonCorners corners;
    bool closes = true;
};

NewtonJets newton_jets(const RestModel& m, const SetCorners& set, const Posture& at, const Turns& turns) {
    NewtonJets jets;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const CornerNumbers<newton_locals> numbers = numbers_at(set[c], at.half_tan[c]);
        jets.closes = jets.closes && numbers.room > 0.0 && numbers.bar_room > 0.0;
        jets.corners[c] = corner_jets(m, c, numbers, Up(turns.at_corner(c)));
    }
    return jets;
}

template <std::size_t K>
void add(const Jet<K>& jet, double factor, const Ways& ways, System& s) {
    for (const Way& a : ways) {
        s.residual(a.at) += factor * a.by * jet.by[a.local];
        for (const Way& b : ways) s.matrix(a.at, b.at) += factor * a.by * b.by * jet.and_by[a.local][b.local];
    }
}

/// Slope and curvature of every weight fixed to the chassis; the height is counted apart.
void add_chassis_weights(const RestModel& m, const Turns& turns, System& s) {
    for (const Weight& weight : m.weights) {
        const Jet<newton_locals> jet = weight_jet(weight, turns, weight.kg);
        const Ways along = ways(weight.share, pitch);
        s.energy_Nmm += jet.value;
        for (std::size_t a = 0; a < 3; ++a) {
            s.residual(along[a].at) += along[a].by * jet.by[along[a].local];
            for (std::size_t b = 0; b < 3; ++b)
                s.matrix(along[a].at, along[b].at) +=
                    along[a].by * along[b].by * jet.and_by[along[a].local][along[b].local];
        }
    }
}

/// Springs, rubbers and unsprung masses.
void add_corners(const NewtonCorners& jets, System& s) {
    for (std::size_t c = 0; c < corner_count; ++c) {
        add(jets[c].energy, 1.0, ways(share_of(c), of(half_tan, c)), s);
        s.energy_Nmm += jets[c].energy.value;
    }
}

/// Bars and third elements.
void add_elements(const RestModel& m, const NewtonCorners& jets, System& s) {
    each_element(m, jets, [&](std::size_t axle, auto, const auto& x, const Element& e) {
        s.energy_Nmm += e.energy;
        const ByHalfTans by = by_half_tans(x, e);
        const Index first = of(half_tan, 2 * axle);
        s.residual.segment<2>(first) += by.slope;
        s.matrix.block<2, 2>(first, first) += by.curvature;
    });
}

/// All weights are lifted with the chassis.
void add_height(const RestModel& m, const ChassisPose& pose, System& s) {
    double all_N = 0.0;
    for (const Weight& weight : m.weights) all_N += weight.kg * gravity_m_per_s2;
    for (const Corner& corner : m.car.corners) all_N += corner.unsprung_kg * gravity_m_per_s2;
    s.energy_Nmm += all_N * pose.height_mm;
    s.residual(height) += all_N;
}

/// The chassis as a torsion spring between its axle lines.
void add_twist(const RestModel& m, const ChassisPose& pose, System& s) {
    const double rate = *m.car.chassis_twist_Nm_per_deg * deg_per_rad * mm_per_m;
    s.energy_Nmm += 0.5 * rate * pose.twist_rad * pose.twist_rad;
    s.residual(twist) += rate * pose.twist_rad;
    s.matrix(twist, twist) += rate;
}

/// A contact on its pad: its load, on a tyre from the squeeze with the tyre's own energy, and the row that keeps it
/// there. Precondition: all energies along the corner's half tangent but its stop's are in the residual.
void add_load(const RestModel& m, std::size_t c, const CornerJets<newton_locals>& jet, const Posture& at, double pad_mm,
              System& s) {
    const Ways turns = ways(share_of(c), of(half_tan, c));
    const double give = m.give_mm_per_N[c];
    s.off_mm[c] = at.pose.height_mm + jet.height.value - pad_mm;
    if (give > 0.0) {
        const double squeeze = -s.off_mm[c];
        s.load_N[c] = m.tyre_load_N[c] + squeeze / give;
        s.energy_Nmm += squeeze * 0.5 * (m.tyre_load_N[c] + s.load_N[c]);
    } else {
        s.load_N[c] = at.on_stop[c] ? at.load_N[c] : s.residual(of(half_tan, c)) / jet.height.by[by_half_tan];
    }
    const Index row = of(load, c);
    add(jet.height, -s.load_N[c], turns, s);
    s.residual(height) -= s.load_N[c];
    s.matrix(row, height) = s.matrix(height, row) = -1.0;
    for (const Way& way : turns) {
        s.matrix(row, way.at) -= way.by * jet.height.by[way.local];
        s.matrix(way.at, row) = s.matrix(row, way.at);
    }
    s.residual(row) = give > 0.0 ? 0.0 : -s.off_mm[c];
    s.matrix(row, row) = -give;
}

/// A closed droop stop holds the strut's length by its pull; an open one pulls nothing.
void add_stop(const RestModel& m, std::size_t c, const CornerJets<newton_locals>& jet, const Posture& at, System& s) {
    const Index stop = of(pull, c), along = of(half_tan, c);
    if (!at.on_stop[c]) {
        s.matrix(stop, stop) = 1.0;
        return;
    }
    s.off_stop_mm[c] = jet.spring_length.value - m.car.corners[c].damper->longest_mm;
    s.residual(along) += at.pull_N[c] * jet.spring_length.by[by_half_tan];
    s.residual(stop) = s.off_stop_mm[c];
    s.matrix(along, along) += at.pull_N[c] * jet.spring_length.and_by[by_half_tan][by_half_tan];
    s.matrix(stop, along) = s.matrix(along, stop) = jet.spring_length.by[by_half_tan];
}

/// The chassis is rigid: its twist stays 0.
void hold_twist(System& s) {
    s.matrix.row(twist).setZero();
    s.matrix.col(twist).setZero();
    s.matrix(twist, twist) = 1.0;
    s.residual(twist) = 0.0;
}

}  // namespace

Posture posture(const RestState& state) {
    Posture at;
    at.pose = state.pose;
    for (std::size_t c = 0; c < corner_count; ++c) {
        at.half_tan[c] = state.corners[c].half_tan;
        at.load_N[c] = state.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2;
        at.pull_N[c] = state.corners[c].stop_pull_N;
        at.on_stop[c] = state.corners[c].on_droop_stop;
    }
    return at;
}

std::array<Coupling, 2> couplings(const RestModel& m, const SetCorners& corners, const Posture& at) {
    std::array<Coupling, 2> all;
    each_element(m, newton_jets(m, corners, at, Turns(at.pose)).corners,
                 [&](std::size_t axle, ByHalfTans Coupling::* which, const auto& x, const Element& e) {
                     all[axle].*which = by_half_tans(x, e);
                 });
    return all;
}

System system(const RestModel& m, const SetCorners& corners, const Posture& at, const PadHeights& pads_mm) {
    const Turns turns(at.pose);
    const auto [jets, closes] = newton_jets(m, corners, at, turns);
    System s = system(m, turns, jets, at, pads_mm);
    s.closes = closes;
    return s;
}

System system(const RestModel& m, const Turns& turns, const NewtonCorners& jets, const Posture& at,
              const PadHeights& pads_mm) {
    System s;
    add_chassis_weights(m, turns, s);
    add_corners(jets, s);
    add_elements(m, jets, s);
    add_height(m, at.pose, s);
    if (m.twists()) add_twist(m, at.pose, s);
    for (std::size_t c = 0; c < corner_count; ++c) {
        add_load(m, c, jets[c], at, pads_mm[c], s);
        add_stop(m, c, jets[c], at, s);
    }
    if (!m.twists()) hold_twist(s);
    return s;
}

}  // namespace shimwise::rest_system
