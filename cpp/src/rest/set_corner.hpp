// A corner of the whole car as set, ready for any position.
#pragma once

#include "rest/corner_jets.hpp"
#include "rest/plain_corner.hpp"
#include "shimwise/math/taylor.hpp"

namespace shimwise {

struct SetCorner : PlainCorner {
    Linkage<Taylor2> along_half_tan;
    RiderPlaces<Taylor2> places_along_arm;
};
using SetCorners = std::array<SetCorner, corner_count>;

SetCorners set_corners(const RestModel& model);
PlainCorner plain_corner(const RestModel& model, std::size_t c);

/// What enters the energy at a half tangent, with first and second derivatives by it.
CornerNumbers<newton_locals> numbers_at(const SetCorner& corner, double half_tan);

/// A set corner in one position.
struct StandingCorner {
    const Corner* corner = nullptr;
    const SetCorner* set = nullptr;
    Pose<double> pose;
    Strut<double> strut;
    Riding<double> riding;
    StrutLoad load;

    Vec3<double> contact(const Vec3<double>& plumb) const { return shimwise::contact(set->linkage, pose, plumb); }
    CornerValues<double> values(const Vec3<double>& normal, const Vec3<double>& plumb) const {
        const Frame ground = frame_over(normal);
        const double left = set->linkage.geometry->left;
        Outputs<double> over_ground = outputs(set->linkage, pose, strut, ground);
        measure_to(contact(plumb), ground, left, axis_lean(ground, left, pose.steering_axis), pose.lower_outer,
                   over_ground);
        return {over_ground,    load.spring_N, load.rubber_N,
                riding.bar_rad, riding.third,  inclination_deg(dot(pose.wheel_axis, plumb))};
    }
};
StandingCorner standing_corner(const RestModel& model, const SetCorners& corners, std::size_t c, double half_tan);

}  // namespace shimwise
