// What couples the two corners of an axle at rest: the energies of bars and third elements.
#pragma once

#include "rest/system.hpp"

namespace shimwise::rest_system {

template <std::size_t K>
using AllJets = std::array<CornerJets<K>, corner_count>;

/// What couples the two corners of an axle: energy E(x) of a bar's twist or a third element's squeeze.
struct Element {
    double energy = 0.0, force = 0.0, rate = 0.0;  // E, dE/dx, d2E/dx2
};

/// Left counts, right is taken off.
inline double sign(std::size_t side) { return side == 0 ? 1.0 : -1.0; }

/// x = turn of the left arm - turn of the right.
template <std::size_t K>
struct BarTwist {
    const AllJets<K>& jets;
    std::size_t axle;

    const Jet<K>& side(std::size_t i) const { return jets[2 * axle + i].bar_rad; }
    double value() const { return side(0).value - side(1).value; }
    double by(std::size_t i, std::size_t local) const { return sign(i) * side(i).by[local]; }
    /// Second derivative by the half tangent of side `i` and a variable of side `j`.
    double and_by(std::size_t i, std::size_t j, std::size_t local) const {
        return i == j ? sign(i) * side(i).and_by[by_half_tan][local] : 0.0;
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
        double both = (dot(moved(i, by_half_tan), moved(j, local)) - by(i, by_half_tan) * by(j, local)) / x;
        if (i == j) {
            const auto& e = end(i);
            const Vec3<double> bent = {e[0].and_by[by_half_tan][local], e[1].and_by[by_half_tan][local],
                                       e[2].and_by[by_half_tan][local]};
            both += dot(apart(), bent) * sign(i) / x;
        }
        return both;
    }
};

template <class X>
ByHalfTans by_half_tans(const X& x, const Element& e) {
    ByHalfTans by;
    for (std::size_t i = 0; i < 2; ++i) {
        by.slope(static_cast<Index>(i)) = e.force * x.by(i, by_half_tan);
        for (std::size_t j = 0; j < 2; ++j)
            by.curvature(static_cast<Index>(i), static_cast<Index>(j)) =
                e.rate * x.by(i, by_half_tan) * x.by(j, by_half_tan) + e.force * x.and_by(i, j, by_half_tan);
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

}  // namespace shimwise::rest_system
