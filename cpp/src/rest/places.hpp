// Where the derivatives of a corner and of a weight go among the unknowns of rest.
#pragma once

#include "rest/system.hpp"

namespace shimwise::rest_system {

/// A local derivative's place among the unknowns: a half's roll is roll + share * twist.
struct Way {
    std::size_t local;
    Index at;
    double by;
};
using Ways = std::array<Way, 4>;

inline Ways ways(double share, Index half_tan_at) {
    return {{{by_pitch, pitch, 1.0}, {by_roll, roll, 1.0}, {by_roll, twist, share}, {by_half_tan, half_tan_at, 1.0}}};
}

/// Up along plumb at each share of the twist; of a chassis that is not twisted it is found once.
class Ups {
public:
    explicit Ups(const ChassisPose& pose) : pose_(pose), level_(pose.pitch_rad, pose.roll_rad) {
        if (!twisted()) return;
        front_ = turned_by(share_of(0));
        rear_ = turned_by(share_of(corner_count - 1));
    }

    Up at(double share) const { return twisted() ? turned_by(share) : level_; }
    const Up& at_corner(std::size_t c) const { return !twisted() ? level_ : c < 2 ? front_ : rear_; }

private:
    bool twisted() const { return pose_.twist_rad != 0.0; }
    Up turned_by(double share) const { return {pose_.pitch_rad, pose_.roll_rad + pose_.twist_rad * share}; }

    const ChassisPose& pose_;
    Up level_, front_ = level_, rear_ = level_;
};

/// Energy of a weight fixed to the chassis; the height is counted apart.
inline Jet<newton_locals> weight_jet(const Weight& weight, const Ups& ups, double kg) {
    const Up up = ups.at(weight.share);
    const Along<newton_locals> at[3] = {{weight.at_mm.x, {}, {}}, {weight.at_mm.y, {}, {}}, {weight.at_mm.z, {}, {}}};
    const Jet<newton_locals> up_there = along_plumb(up, at);
    const double weight_N = kg * gravity_m_per_s2;
    return chain(up_there, up_there.value * weight_N, weight_N, 0.0);
}

}  // namespace shimwise::rest_system
