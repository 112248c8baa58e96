// The plane whose heights over four places come nearest to given ones, by least squares; for every scalar.
#pragma once

#include <array>

#include "shimwise/math/scalar.hpp"
#include "shimwise/math/vec3.hpp"

namespace shimwise {

template <class T>
struct BestPlane {
    T level, along_x, along_y;  // height = level + along_x x + along_y y
    T spread;  // 1 - r^2 of their x and y: 0 where they lie on one line, not a number on one along x or y
};

/// Over the x and y of the places.
template <class T>
BestPlane<T> best_plane(const std::array<Vec3<T>, 4>& places, const std::array<T, 4>& heights) {
    Vec3<T> mean = (places[0] + places[1] + places[2] + places[3]) * 0.25;
    mean.z = (heights[0] + heights[1] + heights[2] + heights[3]) * 0.25;
    T xx(0.0), xy(0.0), yy(0.0), xz(0.0), yz(0.0);
    for (std::size_t c = 0; c < places.size(); ++c) {
        const T x = places[c].x - mean.x, y = places[c].y - mean.y, z = heights[c] - mean.z;
        xx = xx + x * x;
        xy = xy + x * y;
        yy = yy + y * y;
        xz = xz + x * z;
        yz = yz + y * z;
    }
    const T determinant = xx * yy - xy * xy;
    const T inverse = 1.0 / determinant;
    const T along_x = (xz * yy - yz * xy) * inverse, along_y = (yz * xx - xz * xy) * inverse;
    return {mean.z - along_x * mean.x - along_y * mean.y, along_x, along_y, determinant / (xx * yy)};
}

}  // namespace shimwise
