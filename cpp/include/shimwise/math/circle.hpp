// `meet`: the point of a circle at a given distance from a point. The one construction that position is made of.
#pragma once

#include "shimwise/math/scalar.hpp"
#include "shimwise/math/vec3.hpp"

namespace shimwise {

/// Points at `radius` from `centre` in the plane across the unit vector `axis` (of type A where it never changes).
template <class T, class A = T>
struct Circle {
    Vec3<T> centre;
    Vec3<A> axis;
    T radius2;
};

template <class T>
struct Meeting {
    Vec3<T> radius;  // from the circle's centre to the point found
    T room;          // below 0: no such point
};

/// Radius w with |w|^2 = radius2, w . axis = 0, |centre + w - p|^2 = distance2, on the side of `side` (+1 or -1):
/// with q = p - centre, r = q across the axis, k = (radius2 + |q|^2 - distance2) / 2 = w . r,
/// w = (k r + side sqrt(radius2 |r|^2 - k^2) axis x r) / |r|^2. One root, one division.
template <class T, class A>
Meeting<T> meet(const Circle<T, A>& circle, const Vec3<T>& p, const T& distance2, double side) {
    const Vec3<T> q = p - circle.centre;
    const T along = dot(q, circle.axis);
    const Vec3<T> r = q - circle.axis * along;
    const T r2 = squared(r);
    const T k = (circle.radius2 + (r2 + square(along)) - distance2) * 0.5;
    const T room = circle.radius2 * r2 - square(k);
    const T scale = 1.0 / r2;
    const Vec3<T> turned = cross(circle.axis, r);
    return {r * (k * scale) + turned * (sqrt(positive(room)) * scale * side), room};
}

/// axis . (q x radius) with q = p - centre: its sign is the side of p on which the radius lies.
template <class T, class A>
T triple(const Circle<T, A>& circle, const Vec3<T>& p, const Vec3<T>& radius) {
    const Vec3<T> q = p - circle.centre;
    return dot(circle.axis, cross(radius, radius - q));
}

/// The side on which a radius (from the centre) lies, seen from p: sign of axis . (r x radius), and that triple product
/// over its lengths' product (near 0: circle and sphere only touch).
struct Side {
    double sign = 1.0;
    double triple = 0.0;
};
Side side_of(const Circle<double>& circle, const Vec3<double>& p, const Vec3<double>& radius);

/// By how much `distance` must change for circle and sphere about p to touch: + = it must grow. 0 where they meet.
double missing(const Circle<double>& circle, const Vec3<double>& p, double distance);

}  // namespace shimwise
