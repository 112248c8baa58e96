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

/// Energy of a weight fixed to the chassis; the height is counted apart.
inline Jet<newton_locals> weight_jet(const Weight& weight, const Turns& turns, double kg) {
    const Up up(turns.at(weight.share));
    const Along<newton_locals> at[3] = {{weight.at_mm.x, {}, {}}, {weight.at_mm.y, {}, {}}, {weight.at_mm.z, {}, {}}};
    const Jet<newton_locals> up_there = along_plumb(up, at);
    const double weight_N = kg * gravity_m_per_s2;
    return chain<newton_locals, double>(up_there, up_there.value * weight_N, weight_N, 0.0);
}

}  // namespace shimwise::rest_system
