// Settings -> parts: every point and length of a corner as set.
#pragma once

#include <array>
#include <memory>

#include "shimwise/motion/geometry.hpp"

namespace shimwise {

/// The parts of a corner as set: each point in the drawn frame of the body that carries it, and the links' lengths.
/// Affine in the adjusters' amounts: drawn + sum of amount times change; the rack's travel is one more.
template <class T>
struct Parts {
    std::array<Vec3<T>, point_count> points;
    std::array<T, length_count> lengths;

    const Vec3<T>& at(Point p) const { return points[index(p)]; }
    const T& at(Length l) const { return lengths[index(l)]; }
};

namespace detail {

/// Most directions lie along an axis: the other coordinates then cost nothing.
template <class T>
void move(Vec3<T>& point, const T& amount, const Vec3<double>& per_mm) {
    if (per_mm.x != 0.0) point.x = point.x + amount * per_mm.x;
    if (per_mm.y != 0.0) point.y = point.y + amount * per_mm.y;
    if (per_mm.z != 0.0) point.z = point.z + amount * per_mm.z;
}

}  // namespace detail

/// Of a drawing by itself, which may have points elsewhere than the geometry.
template <class T, class D>
Parts<T> parts(const Geometry& g, const Drawing<D>& drawn, const T* amounts_mm, const T& rack_mm) {
    Parts<T> p;
    for (std::size_t i = 0; i < point_count; ++i)
        std::construct_at(&p.points[i], drawn.points[i]);  // in place: no copy
    for (std::size_t i = 0; i < length_count; ++i) p.lengths[i] = T(drawn.lengths[i]);
    for (const FlatChange *c = g.changes.data(), *end = c + g.changes.size(); c != end; ++c) {
        const T& amount = amounts_mm[c->adjuster];
        if (c->point >= 0) {
            detail::move(p.points[static_cast<std::size_t>(c->point)], amount, c->per_mm);
        } else {
            T& length = p.lengths[static_cast<std::size_t>(c->length)];
            length = length + amount * c->per_mm.x;
        }
    }
    detail::move(p.points[index(Point::track_rod_inner)], rack_mm, g.rack_direction);
    return p;
}

template <class T>
Parts<T> parts(const Geometry& g, const T* amounts_mm, const T& rack_mm) {
    return parts(g, g.drawn, amounts_mm, rack_mm);
}

}  // namespace shimwise
