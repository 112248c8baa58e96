#include "rest/system.hpp"

#include <algorithm>

#include "rest/kernel_input.hpp"

namespace shimwise::rest_system {
namespace {

using Eigen::Index;

template <std::size_t K>
using AllJets = std::array<CornerJets<K>, corner_count>;

/// A local derivative's place among the unknowns: a half's roll is roll + share * twist.
struct Way {
    std::size_t local;
    Index at;
    double by;
};
using Ways = std::array<Way, 4>;

Ways ways(double share, Index arm_at) {
    return {{{by_pitch, pitch, 1.0}, {by_roll, roll, 1.0}, {by_roll, twist, share}, {by_arm, arm_at, 1.0}}};
}

template <std::size_t K>
void add(const Jet<K>& jet, double factor, const Ways& ways, System& s) {
    for (const Way& a : ways) {
        s.residual(a.at) += factor * a.by * jet.by[a.local];
        for (const Way& b : ways) s.matrix(a.at, b.at) += factor * a.by * b.by * jet.and_by[a.local][b.local];
    }
}

/// Energy of a weight fixed to the chassis; the height is counted apart.
Jet<newton_locals> weight_jet(const Weight& weight, const ChassisPose& pose, double kg) {
    const Up up(pose.pitch_rad, pose.roll_rad + pose.twist_rad * weight.share);
    const Along<newton_locals> at[3] = {{weight.at_mm.x, {}, {}}, {weight.at_mm.y, {}, {}}, {weight.at_mm.z, {}, {}}};
    const Jet<newton_locals> height = along_plumb(up, at);
    const double weight_N = kg * gravity_m_per_s2;
    return chain(height, height.value * weight_N, weight_N, 0.0);
}

/// What couples the two corners of an axle: energy E(x) of a bar's twist or a third element's squeeze.
struct Element {
    double energy = 0.0, force = 0.0, rate = 0.0;  // E, dE/dx, d2E/dx2
};

/// Left counts, right is taken off.
double sign(std::size_t side) { return side == 0 ? 1.0 : -1.0; }

/// x = turn of the left arm - turn of the right.
template <std::size_t K>
struct BarTwist {
    const AllJets<K>& jets;
    std::size_t axle;

    const Jet<K>& side(std::size_t i) const { return jets[2 * axle + i].bar_rad; }
    double value() const { return side(0).value - side(1).value; }
    double by(std::size_t i, std::size_t local) const { return sign(i) * side(i).by[local]; }
    /// Second derivative by the arm of side `i` and a variable of side `j`.
    double and_by(std::size_t i, std::size_t j, std::size_t local) const {
        return i == j ? sign(i) * side(i).and_by[by_arm][local] : 0.0;
    }
};

/// x = distance of the left end from the right one: with d = left - right, n = d / x: x_a = n . d_a and
/// x_ab = (d_a . d_b - x_a x_b) / x + n . d_ab.
template <std::size_t K>
struct ThirdLength {
    const AllJets<K>& jets;
    std::size_t axle;

    const std::array<Jet<K>, 3>& end(std::size_t i) const { return jets[2 * axle + i].third; }
    Vec3<double> apart() const {
        return {end(0)[0].value - end(1)[0].value, end(0)[1].value - end(1)[1].value,
                end(0)[2].value - end(1)[2].value};
    }
    Vec3<double> moved(std::size_t i, std::size_t local) const {
        return Vec3<double>(end(i)[0].by[local], end(i)[1].by[local], end(i)[2].by[local]) * sign(i);
    }
    double value() const { return std::sqrt(squared(apart())); }
    double by(std::size_t i, std::size_t local) const { return dot(apart(), moved(i, local)) / value(); }
    double and_by(std::size_t i, std::size_t j, std::size_t local) const {
        const double x = value();
        double both = (dot(moved(i, by_arm), moved(j, local)) - by(i, by_arm) * by(j, local)) / x;
        if (i == j) {
            const auto& e = end(i);
            const Vec3<double> bent = {e[0].and_by[by_arm][local], e[1].and_by[by_arm][local],
                                       e[2].and_by[by_arm][local]};
            both += dot(apart(), bent) * sign(i) / x;
        }
        return both;
    }
};

template <class X>
ByArms by_arms(const X& x, const Element& e) {
    ByArms by;
    for (std::size_t i = 0; i < 2; ++i) {
        by.slope(static_cast<Index>(i)) = e.force * x.by(i, by_arm);
        for (std::size_t j = 0; j < 2; ++j)
            by.curvature(static_cast<Index>(i), static_cast<Index>(j)) =
                e.rate * x.by(i, by_arm) * x.by(j, by_arm) + e.force * x.and_by(i, j, by_arm);
    }
    return by;
}

/// Calls `with(axle, &Coupling::bar or third, x, element)` for the bar and the third element of each axle that carry.
template <std::size_t K, class With>
void each_element(const RestModel& m, const AllJets<K>& jets, const With& with) {
    for (std::size_t axle = 0; axle < 2; ++axle) {
        if (m.riders[2 * axle].has_bar) {
            const BarTwist<K> x = {jets, axle};
            const double rate = m.car.bars[axle]->rate_Nm_per_deg * deg_per_rad * mm_per_m;  // Nmm per rad
            const double turn = x.value();
            with(axle, &Coupling::bar, x, Element{0.5 * rate * turn * turn, rate * turn, rate});
        }
        if (m.riders[2 * axle].has_third) {
            const ThirdLength<K> x = {jets, axle};
            const double squeeze = m.third_squeeze(axle, x.value());
            if (!(squeeze > 0.0)) continue;
            const double rate = m.car.thirds[axle]->rate_N_per_mm;
            const double sense = m.car.thirds[axle]->carries_pull ? 1.0 : -1.0;
            with(axle, &Coupling::third, x, Element{0.5 * rate * squeeze * squeeze, sense * rate * squeeze, rate});
        }
    }
}

Up up_at(const Posture& at, std::size_t c) {
    return {at.pose.pitch_rad, at.pose.roll_rad + at.pose.twist_rad * share_of(c)};
}

/// What enters the energy along the arms, and what of it along plumb.
struct NewtonJets {
    AllJets<newton_locals> corners;
    bool closes = true;
};

NewtonJets newton_jets(const RestModel& m, const SetCorners& set, const Posture& at) {
    NewtonJets jets;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const CornerNumbers<newton_locals> numbers = numbers_at(set[c], at.arm[c]);
        jets.closes = jets.closes && numbers.room > 0.0 && numbers.bar_room > 0.0;
        jets.corners[c] = corner_jets(m, c, numbers, up_at(at, c));
    }
    return jets;
}

}  // namespace

Posture posture(const RestState& state) {
    Posture at;
    at.pose = state.pose;
    for (std::size_t c = 0; c < corner_count; ++c) {
        at.arm[c] = state.corners[c].arm;
        at.load_N[c] = state.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2;
        at.pull_N[c] = state.corners[c].stop_pull_N;
        at.on_stop[c] = state.corners[c].on_droop_stop;
    }
    return at;
}

std::array<Coupling, 2> couplings(const RestModel& m, const SetCorners& corners, const Posture& at) {
    std::array<Coupling, 2> all;
    each_element(m, newton_jets(m, corners, at).corners,
                 [&](std::size_t axle, ByArms Coupling::* which, const auto& x, const Element& e) {
                     all[axle].*which = by_arms(x, e);
                 });
    return all;
}

System system(const RestModel& m, const SetCorners& corners, const Posture& at, const PadHeights& pads_mm) {
    System s;
    const auto [jets, closes] = newton_jets(m, corners, at);
    s.closes = closes;
    double all_N = 0.0;
    for (const Weight& weight : m.weights) {
        const Jet<newton_locals> jet = weight_jet(weight, at.pose, weight.kg);
        const Ways turns = ways(weight.share, pitch);
        s.energy_Nmm += jet.value;
        for (std::size_t a = 0; a < 3; ++a) {
            s.residual(turns[a].at) += turns[a].by * jet.by[turns[a].local];
            for (std::size_t b = 0; b < 3; ++b)
                s.matrix(turns[a].at, turns[b].at) +=
                    turns[a].by * turns[b].by * jet.and_by[turns[a].local][turns[b].local];
        }
        all_N += weight.kg * gravity_m_per_s2;
    }
    for (std::size_t c = 0; c < corner_count; ++c) {
        add(jets[c].energy, 1.0, ways(share_of(c), of(arm, c)), s);
        s.energy_Nmm += jets[c].energy.value;
        all_N += m.car.corners[c].unsprung_kg * gravity_m_per_s2;
    }
    each_element(m, jets, [&](std::size_t axle, auto, const auto& x, const Element& e) {
        s.energy_Nmm += e.energy;
        const ByArms by = by_arms(x, e);
        const Index first = of(arm, 2 * axle);
        s.residual.segment<2>(first) += by.slope;
        s.matrix.block<2, 2>(first, first) += by.curvature;
    });
    s.energy_Nmm += all_N * at.pose.height_mm;
    s.residual(height) += all_N;
    if (m.twists()) {
        const double rate = *m.car.chassis_twist_Nm_per_deg * deg_per_rad * mm_per_m;
        s.energy_Nmm += 0.5 * rate * at.pose.twist_rad * at.pose.twist_rad;
        s.residual(twist) += rate * at.pose.twist_rad;
        s.matrix(twist, twist) += rate;
    }

    for (std::size_t c = 0; c < corner_count; ++c) {
        const CornerJets<newton_locals>& jet = jets[c];
        const Ways turns = ways(share_of(c), of(arm, c));
        const double give = m.give_mm_per_N[c];
        s.off_mm[c] = at.pose.height_mm + jet.height.value - pads_mm[c];
        if (give > 0.0) {
            const double squeeze = -s.off_mm[c];
            s.load_N[c] = m.tyre_load_N[c] + squeeze / give;
            s.energy_Nmm += squeeze * 0.5 * (m.tyre_load_N[c] + s.load_N[c]);
        } else {
            s.load_N[c] = at.on_stop[c] ? at.load_N[c] : s.residual(of(arm, c)) / jet.height.by[by_arm];
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

        const Index stop = of(pull, c);
        if (at.on_stop[c]) {
            s.off_stop_mm[c] = jet.spring_length.value - m.car.corners[c].damper->longest_mm;
            s.residual(of(arm, c)) += at.pull_N[c] * jet.spring_length.by[by_arm];
            s.residual(stop) = s.off_stop_mm[c];
            s.matrix(of(arm, c), of(arm, c)) += at.pull_N[c] * jet.spring_length.and_by[by_arm][by_arm];
            s.matrix(stop, of(arm, c)) = s.matrix(of(arm, c), stop) = jet.spring_length.by[by_arm];
        } else {
            s.matrix(stop, stop) = 1.0;
        }
    }
    if (!m.twists()) {
        s.matrix.row(twist).setZero();
        s.matrix.col(twist).setZero();
        s.matrix(twist, twist) = 1.0;
        s.residual(twist) = 0.0;
    }
    return s;
}

Eigen::Matrix<double, unknowns, Eigen::Dynamic> by_parameters(const RestModel& m, const Posture& at) {
    std::array<Index, corner_count> first_column{};
    Index columns = 0;
    std::size_t most = 1;
    for (std::size_t c = 0; c < corner_count; ++c) {
        first_column[c] = columns;
        columns += static_cast<Index>(m.setups[c].amounts_mm.size());
        most = std::max(most, m.setups[c].amounts_mm.size());
    }
    const Index first_pad = columns, first_ballast = first_pad + static_cast<Index>(corner_count);
    columns = first_ballast + static_cast<Index>(m.weights.size()) - 1;
    Eigen::Matrix<double, unknowns, Eigen::Dynamic> r = Eigen::MatrixXd::Zero(unknowns, columns);

    for (std::size_t first = 0; first < most; first += table_settings) {
        AllJets<table_locals> jets;
        for (std::size_t c = 0; c < corner_count; ++c) {
            CornerNumbers<table_locals> numbers;
            rest_kernel().numbers(rest_input(m, c, at.arm[c], first), numbers);
            jets[c] = corner_jets(m, c, numbers, up_at(at, c));
        }
        const auto each_setting = [&](std::size_t c, const auto& with) {
            const std::size_t count = m.setups[c].amounts_mm.size();
            for (std::size_t a = first; a < std::min(count, first + table_settings); ++a)
                with(first_column[c] + static_cast<Index>(a), by_setting + a - first);
        };
        for (std::size_t c = 0; c < corner_count; ++c)
            each_setting(c, [&](Index column, std::size_t local) {
                const CornerJets<table_locals>& jet = jets[c];
                for (const Way& way : ways(share_of(c), of(arm, c)))
                    r(way.at, column) += way.by * (jet.energy.and_by[way.local][local] -
                                                   at.load_N[c] * jet.height.and_by[way.local][local]);
                r(of(load, c), column) = -jet.height.by[local];
                if (!at.on_stop[c]) return;
                r(of(arm, c), column) += at.pull_N[c] * jet.spring_length.and_by[by_arm][local];
                r(of(pull, c), column) = jet.spring_length.by[local];
            });
        each_element(m, jets, [&](std::size_t axle, auto, const auto& x, const Element& e) {
            for (std::size_t j = 0; j < 2; ++j)
                each_setting(2 * axle + j, [&](Index column, std::size_t local) {
                    for (std::size_t i = 0; i < 2; ++i)
                        r(of(arm, 2 * axle + i), column) +=
                            e.rate * x.by(i, by_arm) * x.by(j, local) + e.force * x.and_by(i, j, local);
                });
        });
    }
    for (std::size_t c = 0; c < corner_count; ++c) r(of(load, c), first_pad + static_cast<Index>(c)) = 1.0;
    for (std::size_t w = 1; w < m.weights.size(); ++w) {
        const Jet<newton_locals> jet = weight_jet(m.weights[w], at.pose, 1.0);
        const Index column = first_ballast + static_cast<Index>(w) - 1;
        r(height, column) = gravity_m_per_s2;
        r(pitch, column) = jet.by[by_pitch];
        r(roll, column) = jet.by[by_roll];
        r(twist, column) = m.weights[w].share * jet.by[by_roll];
    }
    if (!m.twists()) r.row(twist).setZero();
    return r;
}

}  // namespace shimwise::rest_system
