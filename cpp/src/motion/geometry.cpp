#include "shimwise/motion/geometry.hpp"

#include <cmath>

#include "shimwise/motion/linkage.hpp"

namespace shimwise {
namespace {

double distance(const Corner& c, Point a, Point b) { return std::sqrt(squared(c.at(a) - c.at(b))); }

Vec3<double> unit(const Vec3<double>& v) { return v * (1.0 / std::sqrt(squared(v))); }

/// The drawn circle of a wishbone's outer joint, and the joint's radius on it.
struct DrawnWishbone {
    Circle<double> circle;
    Vec3<double> radius;
};

DrawnWishbone drawn_wishbone(const Corner& c, Point front, Point rear, Point outer) {
    const auto circle = detail::wishbone(c.at(front), c.at(rear), distance(c, front, outer), distance(c, rear, outer));
    return {circle, c.at(outer) - circle.centre};
}

/// Coordinates in the frame of a wishbone's outer joint: origin there, along the pickup axis, radially outward, across.
Vec3<double> in_wishbone(const DrawnWishbone& w, const Vec3<double>& outer, const Vec3<double>& point) {
    const Vec3<double> from = point - outer;
    const Vec3<double> radial = unit(w.radius);
    return {dot(from, w.circle.axis), dot(from, radial), dot(from, cross(w.circle.axis, radial))};
}

std::vector<FlatChange> flat_changes(const Corner& corner) {
    std::vector<FlatChange> flat;
    for (std::size_t a = 0; a < corner.adjusters.size(); ++a)
        for (const Change& change : corner.adjusters[a].changes) {
            FlatChange f{.adjuster = static_cast<int>(a), .per_mm = change.per_mm};
            if (const Point* point = std::get_if<Point>(&change.what))
                f.point = static_cast<int>(*point);
            else
                f.length = static_cast<int>(std::get<Length>(change.what));
            flat.push_back(f);
        }
    return flat;
}

}  // namespace

Geometry geometry(const Corner& c) {
    Geometry g;
    for (std::size_t i = 0; i < point_count; ++i)
        if (c.points[i]) g.points[i] = *c.points[i] + c.built_off_mm[i];
    const auto set = [&](Length l, Point a, Point b) { g.lengths[index(l)] = distance(c, a, b); };
    set(Length::upper_wishbone_front_leg, Point::upper_wishbone_front, Point::upper_wishbone_outer);
    set(Length::upper_wishbone_rear_leg, Point::upper_wishbone_rear, Point::upper_wishbone_outer);
    set(Length::lower_wishbone_front_leg, Point::lower_wishbone_front, Point::lower_wishbone_outer);
    set(Length::lower_wishbone_rear_leg, Point::lower_wishbone_rear, Point::lower_wishbone_outer);
    set(Length::track_rod, Point::track_rod_inner, Point::track_rod_outer);
    if (c.has(Point::pushrod_inner)) set(Length::pushrod, Point::pushrod_inner, Point::pushrod_outer);

    g.wheel_axis = c.wheel_axis;
    g.wheel_height_mm = c.at(Point::wheel_centre).z;
    g.rocker_axis = c.rocker_axis;
    if (c.rack_direction) g.rack_direction = *c.rack_direction;
    g.wheel_radius_mm = c.wheel.radius_mm;
    g.half_width_mm = 0.5 * c.wheel.width_mm;
    g.offset_mm = c.wheel.offset_mm;
    g.left = is_left(c.id) ? 1.0 : -1.0;

    const DrawnWishbone lower =
        drawn_wishbone(c, Point::lower_wishbone_front, Point::lower_wishbone_rear, Point::lower_wishbone_outer);
    const DrawnWishbone upper =
        drawn_wishbone(c, Point::upper_wishbone_front, Point::upper_wishbone_rear, Point::upper_wishbone_outer);
    g.lower_radial = unit(lower.radius);
    const Vec3<double>& lower_outer = c.at(Point::lower_wishbone_outer);
    const Vec3<double>& upper_outer = c.at(Point::upper_wishbone_outer);
    g.upper_side = side_of(upper.circle, lower_outer, upper.radius).sign;

    const Vec3<double> steering_axis = unit(upper_outer - lower_outer);
    const Vec3<double> steer = c.at(Point::track_rod_outer) - lower_outer;
    const double along = dot(steer, steering_axis);
    const Circle<double> steer_circle = {lower_outer + steering_axis * along, steering_axis, 0.0};
    g.track_rod_side = side_of(steer_circle, c.at(Point::track_rod_inner), steer - steering_axis * along).sign;

    g.has_rocker = c.has_rocker();
    g.pull_rod = c.has_pull_rod();
    const Point strut = g.has_rocker ? Point::pushrod_outer : Point::spring_outer;
    g.strut_point = static_cast<int>(strut);
    g.strut_on = c.carrier(strut);
    const auto on_wishbone = [&](Body carrier, Point point) {
        const Vec3<double>& built = g.points[index(point)];
        return carrier == Body::lower_wishbone   ? in_wishbone(lower, lower_outer, built)
               : carrier == Body::upper_wishbone ? in_wishbone(upper, upper_outer, built)
                                                 : Vec3<double>();
    };
    g.strut_in_wishbone = on_wishbone(g.strut_on, strut);
    const Point drop_link = g.has_rocker ? Point::rocker_drop_link : Point::drop_link_outer;
    g.drop_link_point = static_cast<int>(drop_link);
    g.has_drop_link = c.has(drop_link);
    g.drop_link_on = c.carrier(drop_link);
    g.drop_link_in_wishbone = on_wishbone(g.drop_link_on, drop_link);
    if (g.has_rocker) {
        g.rocker_base = c.at(Point::rocker_axis_point);
        const Vec3<double> inner = c.at(Point::pushrod_inner) - c.at(Point::rocker_axis_point);
        const double rocker_along = dot(inner, c.rocker_axis);
        const Circle<double> circle = {c.at(Point::rocker_axis_point) + c.rocker_axis * rocker_along, c.rocker_axis,
                                       0.0};
        g.rocker_side = side_of(circle, c.at(Point::pushrod_outer), inner - c.rocker_axis * rocker_along).sign;
    }
    g.changes = flat_changes(c);
    return g;
}

}  // namespace shimwise
