#include "shimwise/model/corner.hpp"

namespace shimwise {

Body Corner::carrier(Point point) const {
    switch (point) {
        case Point::upper_wishbone_front:
        case Point::upper_wishbone_rear:
        case Point::lower_wishbone_front:
        case Point::lower_wishbone_rear:
        case Point::rocker_axis_point:
        case Point::spring_chassis:
            return Body::chassis;
        case Point::upper_wishbone_outer:
        case Point::lower_wishbone_outer:
        case Point::track_rod_outer:
        case Point::wheel_centre:
            return Body::upright;
        case Point::track_rod_inner:
            return rack_direction ? Body::rack : Body::chassis;
        case Point::pushrod_outer:
            return pushrod_outer_on;
        case Point::pushrod_inner:
        case Point::rocker_spring:
        case Point::rocker_drop_link:
            return Body::rocker;
        case Point::spring_outer:
            return spring_outer_on;
        case Point::drop_link_outer:
            return drop_link_outer_on;
    }
    return Body::chassis;
}

std::vector<std::string> Corner::point_names() const {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < point_count; ++i)
        if (points[i]) names.emplace_back(shimwise::point_names[i]);
    return names;
}

std::optional<std::size_t> Corner::find(const std::string& adjuster_name) const {
    for (std::size_t i = 0; i < adjusters.size(); ++i)
        if (adjusters[i].name == adjuster_name) return i;
    return std::nullopt;
}

std::vector<double> Corner::amounts_mm() const {
    std::vector<double> amounts;
    for (const Adjuster& adjuster : adjusters) amounts.push_back(adjuster.amount_mm());
    return amounts;
}

}  // namespace shimwise
