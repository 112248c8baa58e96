// A corner's share of the energy at rest with its first and second derivatives.
#pragma once

#include "rest/corner_numbers.hpp"
#include "rest/standing.hpp"

namespace shimwise {

/// A number's derivatives by pitch, roll, half tangent and settings; of these, second ones where one of the two is
/// pitch, roll or half tangent.
template <std::size_t K>
struct Jet {
    double value = 0.0;
    std::array<double, K> by{};
    std::array<std::array<double, K>, 3> and_by{};

    Jet& operator+=(const Jet& other) {
        value += other.value;
        for (std::size_t k = 0; k < K; ++k) {
            by[k] += other.by[k];
            for (std::size_t r = 0; r < 3; ++r) and_by[r][k] += other.and_by[r][k];
        }
        return *this;
    }
};

/// f(x), where f has this value, slope and curvature at x's value.
template <std::size_t K>
Jet<K> chain(const Jet<K>& x, double value, double slope, double bend) {
    Jet<K> f;
    f.value = value;
    for (std::size_t k = 0; k < K; ++k) {
        f.by[k] = slope * x.by[k];
        for (std::size_t r = 0; r < 3; ++r) f.and_by[r][k] = slope * x.and_by[r][k] + bend * x.by[r] * x.by[k];
    }
    return f;
}

/// A number of the corner alone.
template <std::size_t K>
Jet<K> jet(const Along<K>& x) {
    Jet<K> j;
    j.value = x.value;
    for (std::size_t k = by_half_tan; k < K; ++k) {
        j.by[k] = x.by[k];
        j.and_by[by_half_tan][k] = x.half_tan_and[k];
    }
    return j;
}

/// Up along plumb in the coordinates of what is turned by pitch, then roll, and its derivatives.
struct Up {
    Vec3<double> is, pitched, rolled, pitched_twice, pitched_and_rolled, rolled_twice;

    Up(double pitch, double roll) {
        const double sp = std::sin(pitch), cp = std::cos(pitch), sr = std::sin(roll), cr = std::cos(roll);
        is = {-sp, cp * sr, cp * cr};
        pitched = {-cp, -sp * sr, -sp * cr};
        rolled = {0.0, cp * cr, -cp * sr};
        pitched_twice = {sp, -cp * sr, -cp * cr};
        pitched_and_rolled = {0.0, -sp * cr, sp * sr};
        rolled_twice = {0.0, -cp * sr, -cp * cr};
    }
};

/// up . v for a vector that depends on half tangent and settings alone.
template <std::size_t K>
Jet<K> along_plumb(const Up& up, const Along<K> (&v)[3]) {
    Jet<K> j;
    const Vec3<double> is = {v[0].value, v[1].value, v[2].value};
    j.value = dot(up.is, is);
    j.by[by_pitch] = dot(up.pitched, is);
    j.by[by_roll] = dot(up.rolled, is);
    j.and_by[by_pitch][by_pitch] = dot(up.pitched_twice, is);
    j.and_by[by_pitch][by_roll] = j.and_by[by_roll][by_pitch] = dot(up.pitched_and_rolled, is);
    j.and_by[by_roll][by_roll] = dot(up.rolled_twice, is);
    for (std::size_t k = by_half_tan; k < K; ++k) {
        const Vec3<double> moved = {v[0].by[k], v[1].by[k], v[2].by[k]};
        j.by[k] = dot(up.is, moved);
        j.and_by[by_pitch][k] = dot(up.pitched, moved);
        j.and_by[by_roll][k] = dot(up.rolled, moved);
        j.and_by[by_half_tan][k] =
            dot(up.is, Vec3<double>(v[0].half_tan_and[k], v[1].half_tan_and[k], v[2].half_tan_and[k]));
    }
    j.and_by[by_half_tan][by_pitch] = j.and_by[by_pitch][by_half_tan];
    j.and_by[by_half_tan][by_roll] = j.and_by[by_roll][by_half_tan];
    return j;
}

template <std::size_t K>
struct CornerJets {
    Jet<K> energy;  // of spring, rubber and unsprung mass, the chassis origin at height 0
    Jet<K> height;  // of the contact over the chassis origin, along plumb
    Jet<K> spring_length;
    Jet<K> bar_rad;
    std::array<Jet<K>, 3> third;  // the third element's end
};

/// Where no damper stops the strut, a spring that would have to pull is an error, found once the pull is known.
inline Loose loose(const Corner& corner) { return corner.damper ? Loose::carries_nothing : Loose::would_pull; }

/// The contact is the lowest point of the rim, y2 = up . wheel axis its lean: height = up . wheel centre + y2 outboard
/// - radius sqrt(1 - y2^2). The strut's energy is a parabola about its present length.
template <std::size_t K>
CornerJets<K> corner_jets(const RestModel& m, std::size_t c, const CornerNumbers<K>& n, const Up& up) {
    const Geometry& g = m.setups[c].geometry;
    const Corner& corner = m.car.corners[c];
    CornerJets<K> jets;

    const Jet<K> lean = along_plumb(up, n.wheel_axis);
    const Vec3<double> axis = {n.wheel_axis[0].value, n.wheel_axis[1].value, n.wheel_axis[2].value};
    const Stance<double> stands = stance(g, axis, up.is);
    const double to_rim = stands.lean * stands.outboard - stands.upright * g.wheel_radius_mm;
    const double bend = g.wheel_radius_mm / stands.upright;
    jets.height = along_plumb(up, n.wheel_centre);
    jets.height += chain(lean, to_rim, stands.outboard + stands.lean * bend, bend / square(stands.upright));

    const StrutLoad load = strut_load(corner, n.platform.value, n.spring_length.value, loose(corner));
    jets.spring_length = jet(n.spring_length);
    Jet<K> squeezed = jet(n.platform), shorter = chain(jets.spring_length, 0.0, -1.0, 0.0);
    squeezed += shorter;
    jets.energy = along_plumb(up, n.unsprung_cg);
    const double weight_N = corner.unsprung_kg * gravity_m_per_s2;
    jets.energy = chain(jets.energy, jets.energy.value * weight_N, weight_N, 0.0);
    jets.energy += chain(squeezed, load.energy_Nmm, load.spring_N, load.spring_N_per_mm);
    jets.energy += chain(shorter, 0.0, load.rubber_N, load.rubber_N_per_mm);

    if (m.riders[c].has_bar) jets.bar_rad = jet(n.bar_rad);
    if (m.riders[c].has_third) jets.third = {jet(n.third[0]), jet(n.third[1]), jet(n.third[2])};
    return jets;
}

}  // namespace shimwise
