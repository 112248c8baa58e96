// What a corner adds to the energy at rest and to the rows that hold it, with first and second derivatives; written for
// every scalar.
#pragma once

#include "rest/corner_numbers.hpp"
#include "shimwise/units.hpp"

namespace shimwise {

/// A number's derivatives by pitch, roll, half tangent and settings; of these, second ones where one of the two is
/// pitch, roll or half tangent.
template <std::size_t K, class N = double>
struct Jet {
    N value{};
    std::array<N, K> by{};
    std::array<std::array<N, K>, 3> and_by{};

    Jet& operator+=(const Jet& other) {
        value = value + other.value;
        for (std::size_t k = 0; k < K; ++k) {
            by[k] = by[k] + other.by[k];
            for (std::size_t r = 0; r < 3; ++r) and_by[r][k] = and_by[r][k] + other.and_by[r][k];
        }
        return *this;
    }
};

/// f(x), where f has this value, slope and curvature at x's value.
template <std::size_t K, class N>
Jet<K, N> chain(const Jet<K, N>& x, const N& value, const N& slope, const N& bend) {
    Jet<K, N> f;
    f.value = value;
    for (std::size_t k = 0; k < K; ++k) {
        f.by[k] = slope * x.by[k];
        for (std::size_t r = 0; r < 3; ++r) f.and_by[r][k] = slope * x.and_by[r][k] + bend * x.by[r] * x.by[k];
    }
    return f;
}

/// A number of the corner alone.
template <std::size_t K, class N>
Jet<K, N> jet(const Along<K, N>& x) {
    Jet<K, N> j;
    j.value = x.value;
    for (std::size_t k = by_half_tan; k < K; ++k) {
        j.by[k] = x.by[k];
        j.and_by[by_half_tan][k] = x.half_tan_and[k];
    }
    return j;
}

/// Sine and cosine of pitch and of roll.
template <class N>
struct Turn {
    N pitch_sine, pitch_cosine, roll_sine, roll_cosine;
};

/// Up along plumb in the coordinates of what is turned so.
template <class N>
Vec3<N> plumb(const Turn<N>& turn) {
    return {-turn.pitch_sine, turn.pitch_cosine * turn.roll_sine, turn.pitch_cosine * turn.roll_cosine};
}

/// The same and its derivatives.
template <class N>
struct UpOf {
    Vec3<N> is, pitched, rolled, pitched_twice, pitched_and_rolled, rolled_twice;

    explicit UpOf(const Turn<N>& turn) {
        const auto& [sp, cp, sr, cr] = turn;
        is = plumb(turn);
        pitched = {-cp, -sp * sr, -sp * cr};
        rolled = {N(0.0), cp * cr, -cp * sr};
        pitched_twice = {sp, -cp * sr, -cp * cr};
        pitched_and_rolled = {N(0.0), -sp * cr, sp * sr};
        rolled_twice = {N(0.0), -cp * sr, -cp * cr};
    }
};
using Up = UpOf<double>;

/// up . v for a vector that depends on half tangent and settings alone.
template <std::size_t K, class N>
Jet<K, N> along_plumb(const UpOf<N>& up, const Along<K, N> (&v)[3]) {
    Jet<K, N> j;
    const Vec3<N> is = {v[0].value, v[1].value, v[2].value};
    j.value = dot(up.is, is);
    j.by[by_pitch] = dot(up.pitched, is);
    j.by[by_roll] = dot(up.rolled, is);
    j.and_by[by_pitch][by_pitch] = dot(up.pitched_twice, is);
    j.and_by[by_pitch][by_roll] = j.and_by[by_roll][by_pitch] = dot(up.pitched_and_rolled, is);
    j.and_by[by_roll][by_roll] = dot(up.rolled_twice, is);
    for (std::size_t k = by_half_tan; k < K; ++k) {
        const Vec3<N> moved = {v[0].by[k], v[1].by[k], v[2].by[k]};
        j.by[k] = dot(up.is, moved);
        j.and_by[by_pitch][k] = dot(up.pitched, moved);
        j.and_by[by_roll][k] = dot(up.rolled, moved);
        j.and_by[by_half_tan][k] =
            dot(up.is, Vec3<N>(v[0].half_tan_and[k], v[1].half_tan_and[k], v[2].half_tan_and[k]));
    }
    j.and_by[by_half_tan][by_pitch] = j.and_by[by_pitch][by_half_tan];
    j.and_by[by_half_tan][by_roll] = j.and_by[by_roll][by_half_tan];
    return j;
}

template <std::size_t K, class N = double>
struct CornerJets {
    Jet<K, N> energy;  // of spring, rubber and unsprung mass, the chassis origin at height 0
    Jet<K, N> height;  // of the contact over the chassis origin, along plumb
    Jet<K, N> spring_length;
    Jet<K, N> bar_rad;
    std::array<Jet<K, N>, 3> third;  // the third element's end
};

/// The contact is the lowest point of the rim, y2 = up . wheel axis its lean: height = up . wheel centre + y2 outboard
/// - radius sqrt(1 - y2^2). The strut's energy is a parabola about its present length; `Load` is a `StrutLoad` of N.
template <std::size_t K, class N, class Load>
CornerJets<K, N> corner_jets(const Geometry& g, const Riders& riders, double unsprung_kg, const CornerNumbers<K, N>& n,
                             const UpOf<N>& up, const Load& load) {
    CornerJets<K, N> jets;

    const Jet<K, N> lean = along_plumb(up, n.wheel_axis);
    const Vec3<N> axis = {n.wheel_axis[0].value, n.wheel_axis[1].value, n.wheel_axis[2].value};
    const Stance<N> stands = stance(g, axis, up.is);
    const N to_rim = stands.lean * stands.outboard - stands.upright * g.wheel_radius_mm;
    const N bend = g.wheel_radius_mm / stands.upright;
    jets.height = along_plumb(up, n.wheel_centre);
    jets.height += chain<K, N>(lean, to_rim, stands.outboard + stands.lean * bend, bend / square(stands.upright));

    const N none(0.0), weight_N(unsprung_kg * gravity_m_per_s2);
    jets.spring_length = jet(n.spring_length);
    Jet<K, N> squeezed = jet(n.platform), shorter = chain<K, N>(jets.spring_length, none, N(-1.0), none);
    squeezed += shorter;
    jets.energy = along_plumb(up, n.unsprung_cg);
    jets.energy = chain<K, N>(jets.energy, jets.energy.value * weight_N, weight_N, none);
    jets.energy += chain<K, N>(squeezed, load.energy_Nmm, load.spring_N, load.spring_N_per_mm);
    jets.energy += chain<K, N>(shorter, none, load.rubber_N, load.rubber_N_per_mm);

    if (riders.has_bar) jets.bar_rad = jet(n.bar_rad);
    if (riders.has_third) jets.third = {jet(n.third[0]), jet(n.third[1]), jet(n.third[2])};
    return jets;
}

}  // namespace shimwise
