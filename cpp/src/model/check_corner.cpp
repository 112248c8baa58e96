#include <cmath>

#include "files/shown.hpp"
#include "model/findings.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {
namespace {

using files::shown;

constexpr double shortest_link_mm = 1.0;
constexpr double farthest_mm = 20'000.0;  // of a point from the chassis' origin

double length(const Vec3<double>& v) { return std::sqrt(squared(v)); }

/// Leverage of a link on what it turns: triple product of unit axis, radius and link over their lengths' product. The
/// radius reaches from the axis to `joint`, the link from `joint` to `other`. NaN where the joint lies on the axis.
double leverage(const Vec3<double>& axis_point, const Vec3<double>& axis, const Vec3<double>& joint,
                const Vec3<double>& other) {
    const Vec3<double> unit = axis * (1.0 / length(axis));
    const Vec3<double> reach = joint - axis_point;
    const Vec3<double> radius = reach - unit * dot(unit, reach);
    const Vec3<double> link = other - joint;
    return std::abs(dot(unit, cross(radius, link))) / (length(radius) * length(link));
}

class CornerCheck {
public:
    CornerCheck(const Corner& corner, const std::optional<Bar>& bar, Findings& findings)
        : corner_(corner), bar_(bar), findings_(findings) {}

    void run() {
        if (!complete()) return;
        nearness();
        sides();
        wishbone("upper_wishbone", Point::upper_wishbone_front, Point::upper_wishbone_rear,
                 Point::upper_wishbone_outer);
        wishbone("lower_wishbone", Point::lower_wishbone_front, Point::lower_wishbone_rear,
                 Point::lower_wishbone_outer);
        upright();
        if (corner_.has_rocker()) rocker();
        if (bar_) drop_link();
    }

private:
    Vec3<double> at(Point point) const { return corner_.at(point); }
    void add(std::string_view part, const std::string& rule) { findings_.add(corner_field(corner_.id, part), rule); }

    bool complete() {
        bool all = true;
        const auto demand = [&](Point point) {
            if (corner_.has(point)) return;
            add(point_names[index(point)], "is missing");
            all = false;
        };
        for (std::size_t i = 0; i <= index(Point::wheel_centre); ++i) demand(static_cast<Point>(i));
        int of_rocker = 0;
        for (const Point point :
             {Point::pushrod_outer, Point::pushrod_inner, Point::rocker_axis_point, Point::rocker_spring})
            of_rocker += corner_.has(point) ? 1 : 0;
        if (of_rocker == 0) demand(Point::spring_outer);
        if (of_rocker != 0 && of_rocker != 4) {
            add("pushrod", "pushrod and rocker are given together or not at all");
            all = false;
        }
        demand(Point::spring_chassis);
        return all;
    }

    void nearness() {
        for (std::size_t i = 0; i < point_count; ++i)
            if (const Point point = static_cast<Point>(i); corner_.has(point) && !(length(at(point)) <= farthest_mm))
                add(point_names[i],
                    "lies farther than " + shown(farthest_mm) + " mm from the origin: no car is so large");
    }

    void sides() {
        const double outboard = is_left(corner_.id) ? 1.0 : -1.0;
        for (std::size_t i = 0; i < point_count; ++i) {
            const Point point = static_cast<Point>(i);
            if (!corner_.has(point) || may_cross(point)) continue;
            if (!(outboard * at(point).y > 0.0))
                add(point_names[i], std::string("is on the wrong side: y is ") + (outboard > 0.0 ? "above" : "below") +
                                        " 0 on the " + (outboard > 0.0 ? "left" : "right"));
        }
    }

    bool link(std::string_view part, Point a, Point b) {
        const double length_mm = length(at(b) - at(a));
        if (length_mm >= shortest_link_mm) return true;
        add(part, "is a link of " + shown(length_mm) + " mm between " + std::string(point_names[index(a)]) + " and " +
                      std::string(point_names[index(b)]) + ": needs " + shown(shortest_link_mm) + " mm or more");
        return false;
    }

    void wishbone(std::string_view part, Point front, Point rear, Point outer) {
        if (!link(part, front, rear) || !link(part, front, outer) || !link(part, rear, outer)) return;
        const Vec3<double> axis = at(rear) - at(front);
        const Vec3<double> leg = at(outer) - at(front);
        const double sine = length(cross(axis, leg)) / (length(axis) * length(leg));
        if (!(sine >= tolerances::toggle))
            add(part, "front, rear and outer lie on one line: a wishbone needs a triangle");
        if (!(at(front).x > at(rear).x)) add(part, "front must lie ahead of rear (x forward)");
        const double outboard = is_left(corner_.id) ? 1.0 : -1.0;
        const double pickups_mm = std::fmax(outboard * at(front).y, outboard * at(rear).y);
        if (!(outboard * at(outer).y > pickups_mm))
            add(point_names[index(outer)], "lies inboard of its wishbone's pickups");
    }

    void lever(std::string_view part, std::string_view on, double value) {
        if (value >= tolerances::toggle) return;
        const double rounded = std::isfinite(value) ? std::round(value * 1e4) / 1e4 : 0.0;
        add(part, "is drawn at its toggle: its leverage on " + std::string(on) + " is " + shown(rounded) + ", needs " +
                      shown(tolerances::toggle) + " or more");
    }

    void upright() {
        const Vec3<double> upper = at(Point::upper_wishbone_outer), lower = at(Point::lower_wishbone_outer);
        if (!link("upper_wishbone.outer", Point::upper_wishbone_outer, Point::lower_wishbone_outer)) return;
        if (!(upper.z > lower.z)) add("upper_wishbone.outer", "must lie above lower_wishbone.outer");
        const Vec3<double> pickup = at(Point::upper_wishbone_front);
        if (length(at(Point::upper_wishbone_rear) - pickup) >= shortest_link_mm)
            lever("upper_wishbone.outer", "the upper wishbone",
                  leverage(pickup, at(Point::upper_wishbone_rear) - pickup, upper, lower));
        if (!link("track_rod", Point::track_rod_inner, Point::track_rod_outer)) return;
        lever("track_rod", "the upright",
              leverage(lower, upper - lower, at(Point::track_rod_outer), at(Point::track_rod_inner)));
    }

    void rocker() {
        if (!link("pushrod", Point::pushrod_outer, Point::pushrod_inner)) return;
        if (!(squared(corner_.rocker_axis) > 0.0)) {
            add("rocker.axis_direction", "is a zero vector: it has no direction");
            return;
        }
        lever("pushrod", "the rocker",
              leverage(at(Point::rocker_axis_point), corner_.rocker_axis, at(Point::pushrod_inner),
                       at(Point::pushrod_outer)));
    }

    void drop_link() {
        const Point end = corner_.has_rocker() ? Point::rocker_drop_link : Point::drop_link_outer;
        if (!corner_.has(end)) {
            add(point_names[index(end)], "is missing: this axle has a bar");
            return;
        }
        const Vec3<double> arm = bar_->arm[is_left(corner_.id) ? 0 : 1];
        if (!(length(bar_->bearing[1] - bar_->bearing[0]) >= shortest_link_mm)) return;
        if (!(length(at(end) - arm) >= shortest_link_mm))
            add(point_names[index(end)], "lies where the bar's arm ends: a drop link needs a length");
        else
            lever(point_names[index(end)], "the bar's arm",
                  leverage(bar_->bearing[0], bar_->bearing[1] - bar_->bearing[0], arm, at(end)));
    }

    const Corner& corner_;
    const std::optional<Bar>& bar_;
    Findings& findings_;
};

}  // namespace

void check_corner(const Corner& corner, const std::optional<Bar>& bar, Findings& findings) {
    CornerCheck(corner, bar, findings).run();
}

}  // namespace shimwise
