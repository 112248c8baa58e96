// A corner's share of the energy at rest with its first and second derivatives, by nested dual numbers.
#pragma once

#include "motion/standing.hpp"

namespace shimwise {

/// A number's derivatives: by pitch, roll and arm of the corner, then by its settings; of these, second ones where one
/// of the two is pitch, roll or arm.
template <std::size_t N>
struct Jet {
    double value = 0.0;
    std::array<double, 4 * N> by{};
    std::array<std::array<double, 4 * N>, 3> and_by{};
};
enum Local : std::size_t { by_pitch, by_roll, by_arm, by_setting };

template <std::size_t N>
struct CornerJets {
    static constexpr std::size_t settings = 4 * N - by_setting;  // in one pass
    Jet<N> energy;         // of spring, rubber and unsprung mass, the chassis origin at height 0
    Jet<N> height;         // of the contact over the chassis origin, along plumb
    Jet<N> spring_length;
    Jet<N> bar_rad;
    std::array<Jet<N>, 3> third;  // the third element's end, x y z
    bool closes = true;
    double bar_room = 1.0;
};

namespace detail {

template <std::size_t N>
using Inner = Dual<Block4, N>;
/// Outer derivative along the arm; inner ones by all.
template <std::size_t N>
using AlongArm = Dual<Inner<N>, 1>;
/// Outer derivatives by pitch, roll and arm; inner ones by all.
template <std::size_t N>
using ByThree = Dual<Inner<N>, 3>;

template <std::size_t N>
void seed(Inner<N>& x, std::size_t place) {
    x.d[place / 4][place % 4] = 1.0;
}

template <std::size_t N>
ByThree<N> lifted(const AlongArm<N>& x) {
    ByThree<N> y(0.0);
    y.v = x.v;
    y.d[by_arm] = x.d[0];
    return y;
}
template <std::size_t N>
Vec3<ByThree<N>> lifted(const Vec3<AlongArm<N>>& v) {
    return {lifted<N>(v.x), lifted<N>(v.y), lifted<N>(v.z)};
}

template <std::size_t N>
ByThree<N> variable(double value, Local place) {
    ByThree<N> x(value);
    seed(x.v, place);
    x.d[place] = Inner<N>(1.0);
    return x;
}

template <std::size_t N>
Jet<N> jet(const ByThree<N>& x) {
    Jet<N> j;
    j.value = x.value();
    for (std::size_t i = 0; i < 4 * N; ++i) {
        j.by[i] = x.v.d[i / 4][i % 4];
        for (std::size_t r = 0; r < 3; ++r) j.and_by[r][i] = x.d[r].d[i / 4][i % 4];
    }
    return j;
}

}  // namespace detail

/// Where no damper stops the strut, a spring that would have to pull is an error, found once the pull is known.
inline Loose loose(const Corner& corner) { return corner.damper ? Loose::carries_nothing : Loose::would_pull; }

/// One evaluation at an arm. Settings `first` and on, as many as fit.
template <std::size_t N>
CornerJets<N> corner_jets(const RestModel& m, std::size_t c, double pitch, double roll, double arm_now,
                          std::size_t first) {
    using namespace detail;
    using T = AlongArm<N>;
    using U = ByThree<N>;
    const Setup& setup = m.setups[c];
    const Corner& corner = m.car.corners[c];

    std::array<T, max_adjusters> amounts;
    const std::size_t count = setup.amounts_mm.size();
    for (std::size_t a = 0; a < count; ++a) amounts[a] = T(setup.amounts_mm[a]);
    for (std::size_t a = first; a < std::min(count, first + CornerJets<N>::settings); ++a)
        seed(amounts[a].v, by_setting + a - first);
    T arm(arm_now);
    seed(arm.v, by_arm);
    arm.d[0] = Inner<N>(1.0);

    const Parts<T> parts = shimwise::parts(setup.geometry, amounts.data(), T(setup.rack_mm));
    const Linkage<T> l = linkage(setup.geometry, parts);
    const Pose<T> p = pose(l, arm);
    const Strut<T> s = strut(l, p);
    const Riding<T> r = riding(m.riders[c], parts, l, p, s);

    CornerJets<N> jets;
    jets.closes = p.upper_room > T(0.0) && p.track_rod_room > T(0.0) && s.room > T(0.0);
    jets.bar_room = plain(r.bar_room);
    const Vec3<U> up = plumb_up(variable<N>(pitch, by_pitch), variable<N>(roll, by_roll));
    const Stance<U> stands = stance(setup.geometry, lifted<N>(p.wheel_axis), up);
    jets.height = jet<N>(contact_height(setup.geometry, lifted<N>(p.wheel_centre), stands, up));

    // The strut's energy is a parabola about its present length.
    const U length = lifted<N>(s.spring_length), platform = lifted<N>(parts.at(Length::spring_platform));
    const StrutLoad load = strut_load(corner, plain(platform), plain(length), loose(corner));
    const U shorter = -(length - plain(length));
    const U squeezed = shorter + (platform - plain(platform));
    const U strut_energy = squeezed * load.spring_N + square(squeezed) * (0.5 * load.spring_N_per_mm) +
                           shorter * load.rubber_N + square(shorter) * (0.5 * load.rubber_N_per_mm) +
                           load.energy_Nmm;
    const U weight = dot(up, lifted<N>(r.unsprung_cg)) * (corner.unsprung_kg * gravity_m_per_s2);
    jets.energy = jet<N>(strut_energy + weight);
    jets.spring_length = jet<N>(length);
    if (m.riders[c].bar) jets.bar_rad = jet<N>(lifted<N>(r.bar_rad));
    if (m.riders[c].third)
        jets.third = {jet<N>(lifted<N>(r.third.x)), jet<N>(lifted<N>(r.third.y)), jet<N>(lifted<N>(r.third.z))};
    return jets;
}

}  // namespace shimwise
