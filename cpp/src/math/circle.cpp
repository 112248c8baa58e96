#include "shimwise/math/circle.hpp"

#include <algorithm>
#include <cmath>

namespace shimwise {

Side side_of(const Circle<double>& circle, const Vec3<double>& p, const Vec3<double>& radius) {
    const double triple = shimwise::triple(circle, p, radius);
    const double product = std::sqrt(squared(radius) * squared(radius - (p - circle.centre)));
    return {triple < 0.0 ? -1.0 : 1.0, product > 0.0 ? std::fabs(triple) / product : 0.0};
}

double missing(const Circle<double>& circle, const Vec3<double>& p, double distance) {
    const Vec3<double> q = p - circle.centre;
    const double along = dot(q, circle.axis);
    const double across = std::sqrt(std::max(0.0, squared(q) - along * along));
    const double radius = std::sqrt(circle.radius2);
    const double nearest = std::hypot(across - radius, along);
    const double farthest = std::hypot(across + radius, along);
    if (distance < nearest) return nearest - distance;
    if (distance > farthest) return farthest - distance;
    return 0.0;
}

}  // namespace shimwise
