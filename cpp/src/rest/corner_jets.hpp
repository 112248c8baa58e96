// A corner's share of the energy at rest with its first and second derivatives.
#pragma once

#include <cmath>

#include "rest/jets.hpp"
#include "rest/standing.hpp"

namespace shimwise {

inline Turn<double> turn(double pitch, double roll) {
    return {std::sin(pitch), std::cos(pitch), std::sin(roll), std::cos(roll)};
}

/// Where no damper stops the strut, a spring that would have to pull is an error, found once the pull is known.
inline Loose loose(const Corner& corner) { return corner.damper ? Loose::carries_nothing : Loose::would_pull; }

template <std::size_t K>
CornerJets<K> corner_jets(const RestModel& m, std::size_t c, const CornerNumbers<K>& n, const Up& up) {
    const Corner& corner = m.car.corners[c];
    const StrutLoad load = strut_load(corner, n.platform.value, n.spring_length.value, loose(corner));
    return corner_jets<K, double>(m.setups[c].geometry, m.riders[c], corner.unsprung_kg, n, up, load);
}

}  // namespace shimwise
