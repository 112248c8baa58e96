#include "rest/set_corner.hpp"

#include "motion/raised.hpp"

namespace shimwise {

PlainCorner plain_corner(const RestModel& m, std::size_t c) {
    PlainCorner k;
    const Parts<double> parts = m.setups[c].parts();
    k.riders = &m.riders[c];
    k.linkage = linkage(m.setups[c].geometry, parts);
    k.places = rider_places(m.riders[c], parts, k.linkage);
    k.platform_mm = parts.at(Length::spring_platform);
    k.link_mm = m.riders[c].bar.link_mm + parts.at(Length::drop_link);
    return k;
}

SetCorners set_corners(const RestModel& m) {
    SetCorners all;
    for (std::size_t c = 0; c < corner_count; ++c) {
        SetCorner& k = all[c];
        static_cast<PlainCorner&>(k) = plain_corner(m, c);
        k.along_half_tan = raised<Taylor2>(k.linkage);
        k.places_along_arm = raised<Taylor2>(k.places, m.riders[c]);
    }
    return all;
}

CornerNumbers<newton_locals> numbers_at(const SetCorner& k, double half_tan) {
    const Pose<Taylor2> p = pose(k.along_half_tan, Taylor2(half_tan, 1.0, 0.0));
    const Strut<Taylor2> s = strut(k.along_half_tan, p);
    const Riding<Taylor2> r = riding(*k.riders, k.places_along_arm, k.along_half_tan, p, s);
    const auto put = [](Along<newton_locals>& to, const Taylor2& from) {
        to = {from.v, {0.0, 0.0, from.d}, {0.0, 0.0, from.dd}};
    };
    CornerNumbers<newton_locals> n;
    const auto put_room = [](double& to, double room) { to = room; };
    collect(*k.riders, Taylor2(k.platform_mm), p, s, r, put, put_room, n);
    return n;
}

StandingCorner standing_corner(const RestModel& m, const SetCorners& corners, std::size_t c, double half_tan) {
    const SetCorner& set = corners[c];
    StandingCorner k;
    k.corner = &m.car.corners[c];
    k.set = &set;
    k.pose = pose(set.linkage, half_tan);
    k.strut = strut(set.linkage, k.pose);
    k.riding = riding(m.riders[c], set.places, set.linkage, k.pose, k.strut);
    k.load = strut_load(*k.corner, set.platform_mm, k.strut.spring_length, loose(*k.corner));
    return k;
}

}  // namespace shimwise
