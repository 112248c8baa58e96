#include "shimwise/motion/geometry.hpp"

#include "motion/drawing.hpp"

namespace shimwise {
namespace {

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

DrawnPoints<double> drawn_points(const Corner& c) {
    DrawnPoints<double> drawn;
    for (std::size_t i = 0; i < point_count; ++i)
        if (c.points[i]) {
            drawn.at[i] = *c.points[i];
            drawn.built_off[i] = c.built_off_mm[i];
        }
    return drawn;
}

Geometry geometry(const Corner& c) {
    Geometry g;
    g.wheel_axis = c.wheel_axis;
    g.rocker_axis = c.rocker_axis;
    if (c.rack_direction) g.rack_direction = *c.rack_direction;
    g.wheel_radius_mm = c.wheel.radius_mm;
    g.half_width_mm = 0.5 * c.wheel.width_mm;
    g.offset_mm = c.wheel.offset_mm;
    g.left = is_left(c.id) ? 1.0 : -1.0;

    g.has_rocker = c.has_rocker();
    g.pull_rod = c.has_pull_rod();
    const Point strut = g.has_rocker ? Point::pushrod_outer : Point::spring_outer;
    g.strut_point = static_cast<int>(strut);
    g.strut_on = c.carrier(strut);
    const Point drop_link = g.has_rocker ? Point::rocker_drop_link : Point::drop_link_outer;
    g.drop_link_point = static_cast<int>(drop_link);
    g.has_drop_link = c.has(drop_link);
    g.drop_link_on = c.carrier(drop_link);

    LoopTriples<double> loops;
    g.drawn = drawing(g, drawn_points(c), loops);
    const auto side = [](double triple) { return triple < 0.0 ? -1.0 : 1.0; };
    g.upper_side = side(loops.upper);
    g.track_rod_side = side(loops.track_rod);
    g.rocker_side = side(loops.rocker);
    g.changes = flat_changes(c);
    return g;
}

}  // namespace shimwise
