// The part of a vector along a unit "up" that most often is the chassis' own z.
#pragma once

#include "shimwise/math/vec3.hpp"

namespace shimwise {

/// Whether a unit `up` is the chassis' own z; one with derivatives is never taken as such.
[[gnu::always_inline]] inline bool along_z(const Vec3<double>& up) { return up.z == 1.0; }
template <class U>
[[gnu::always_inline]] inline bool along_z(const Vec3<U>&) {
    return false;
}

/// v . up for a unit `up`; over a level ground it costs nothing.
template <class T, class U = double>
T along(const Vec3<T>& v, const Vec3<U>& up) {
    return along_z(up) ? v.z : dot(v, up);
}

}  // namespace shimwise
