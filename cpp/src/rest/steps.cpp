#include "rest/steps.hpp"

#include <algorithm>
#include <cmath>

#include "rest/amounts.hpp"
#include "shimwise/motion/unreached.hpp"
#include "shimwise/units.hpp"

namespace shimwise::rest_system {

Posture moved(const Posture& from, const Vector& step, double share) {
    Posture to = from;
    to.pose.height_mm += share * step(height);
    to.pose.pitch_rad += share * step(pitch);
    to.pose.roll_rad += share * step(roll);
    to.pose.twist_rad += share * step(twist);
    for (std::size_t c = 0; c < corner_count; ++c) {
        to.half_tan[c] += share * step(of(half_tan, c));
        to.load_N[c] += share * step(of(load, c));
        to.pull_N[c] += share * step(of(pull, c));
    }
    return to;
}

double size(const Vector& step) {
    return std::max(std::fabs(step(height)), step.segment<3>(pitch).cwiseAbs().maxCoeff() * mm_per_m);
}

ChassisPose nearest_to_pads(const std::array<Vec3<double>, corner_count>& contacts, const PadHeights& pads_mm) {
    std::array<double, corner_count> over_mm{};
    for (std::size_t c = 0; c < corner_count; ++c) over_mm[c] = pads_mm[c] - contacts[c].z;
    const PadPlane<double> plane = pad_plane(contacts, over_mm);
    return {.height_mm = plane.level,
            .pitch_rad = plane.normal.x / plane.normal.z,
            .roll_rad = -plane.normal.y / plane.normal.z};
}

ChassisPose nearest_to_pads(const SetCorners& corners, const std::array<double, corner_count>& half_tans,
                            const PadHeights& pads_mm) {
    std::array<Vec3<double>, corner_count> contacts;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Pose<double> p = pose(corners[c].linkage, half_tans[c]);
        contacts[c] = contact(corners[c].linkage, p, {0.0, 0.0, 1.0});
    }
    return nearest_to_pads(contacts, pads_mm);
}

Standing<double> standing(const Posture& at, const PadHeights& pads_mm) {
    Standing<double> s;
    s.height = at.pose.height_mm;
    s.pitch = at.pose.pitch_rad;
    s.roll = at.pose.roll_rad;
    s.twist = at.pose.twist_rad;
    s.half_tan = at.half_tan;
    s.load_N = at.load_N;
    s.pad_mm = pads_mm;
    return s;
}

void demand_drop_link(const Riders& riders, const SetCorner& corner, const Pose<double>& pose,
                      const Strut<double>& strut) {
    const Riding<double> r = riding(riders, corner.places, corner.linkage, pose, strut);
    if (r.bar_room > 0.0) return;
    const double missing_mm = missing(riders.bar.circle, r.drop_link, corner.link_mm);
    throw Unreached("the drop link does not reach the bar's arm: it is " + millimetres(std::fabs(missing_mm)) +
                        " too " + (missing_mm > 0.0 ? "short" : "long"),
                    {.what = Obstacle::drop_link_open, .by_mm = std::fabs(missing_mm)});
}

}  // namespace shimwise::rest_system
