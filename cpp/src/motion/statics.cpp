#include "shimwise/motion/statics.hpp"

#include <Eigen/Geometry>
#include <cmath>

#include "math/decompositions.hpp"
#include "shimwise/motion/closing.hpp"

namespace shimwise {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;
using Points = std::array<Vector3d, point_count>;

Vector3d eigen(const Vec3<double>& v) { return {v.x, v.y, v.z}; }

struct Link {
    Point chassis, upright;
};
constexpr std::array<Link, upright_links.size()> link_ends = {
    {{Point::upper_wishbone_front, Point::upper_wishbone_outer},
     {Point::upper_wishbone_rear, Point::upper_wishbone_outer},
     {Point::lower_wishbone_front, Point::lower_wishbone_outer},
     {Point::lower_wishbone_rear, Point::lower_wishbone_outer},
     {Point::track_rod_inner, Point::track_rod_outer}}};

/// What one mm of an adjuster does: points in the drawn frame of their body, lengths of links.
struct Moved {
    Points points;
    std::array<double, length_count> lengths{};

    Moved() { points.fill(Vector3d::Zero()); }
};

Moved moved_by(const Geometry& g, std::size_t adjuster) {
    Moved m;
    for (const FlatChange& c : g.changes) {
        if (c.adjuster != static_cast<int>(adjuster)) continue;
        if (c.point >= 0)
            m.points[static_cast<std::size_t>(c.point)] += eigen(c.per_mm);
        else
            m.lengths[static_cast<std::size_t>(c.length)] += c.per_mm.x;
    }
    return m;
}

/// A solved corner: where every joint is and how upright and rocker have turned from their drawn frames.
struct State {
    const Geometry& geometry;
    Points at;
    Matrix3d upright, rocker;
    Vector3d wheel_axis, rocker_axis;

    const Vector3d& operator[](Point p) const { return at[index(p)]; }
};

/// Right-handed unit axes: along `along`, then towards `toward`.
Matrix3d axes(const Vector3d& along, const Vector3d& toward) {
    Matrix3d a;
    a.col(0) = along.normalized();
    a.col(1) = (toward - a.col(0) * a.col(0).dot(toward)).normalized();
    a.col(2) = a.col(0).cross(a.col(1));
    return a;
}

Matrix3d upright_axes(const Points& p) {
    const Vector3d& lower = p[index(Point::lower_wishbone_outer)];
    return axes(p[index(Point::upper_wishbone_outer)] - lower, p[index(Point::track_rod_outer)] - lower);
}

State state(const Setup& setup, const Solved& solved) {
    const Geometry& g = setup.geometry;
    const Parts<double> parts = setup.parts();
    const auto present = joints(parts, linkage(g, parts), solved.pose, solved.strut);
    State s{
        .geometry = g, .at = {}, .upright = {}, .rocker = Matrix3d::Identity(), .wheel_axis = {}, .rocker_axis = {}};
    Points drawn;
    for (std::size_t i = 0; i < point_count; ++i) {
        s.at[i] = eigen(present[i]);
        drawn[i] = eigen(parts.points[i]);
    }
    s.upright = upright_axes(s.at) * upright_axes(drawn).transpose();
    s.wheel_axis = s.upright * eigen(g.wheel_axis);
    s.rocker_axis = eigen(g.rocker_axis);
    if (g.has_rocker) {
        const Vector3d base = eigen(g.drawn.rocker_base);
        s.rocker = axes(s.rocker_axis, s[Point::pushrod_inner] - s[Point::rocker_axis_point]) *
                   axes(s.rocker_axis, drawn[index(Point::pushrod_inner)] - base).transpose();
    }
    return s;
}

/// Of the outer joint's frame on a wishbone: along the pickup axis, radially to the joint, across; a point that rides
/// there keeps its coordinates.
Vector3d carried(const Vector3d& at, const Points& p, const Points& v, Point front, Point rear, Point outer) {
    const Vector3d span = p[index(rear)] - p[index(front)], span_v = v[index(rear)] - v[index(front)];
    const Vector3d leg = p[index(outer)] - p[index(front)], leg_v = v[index(outer)] - v[index(front)];
    const Vector3d axis = span.normalized();
    const Vector3d axis_v = (span_v - axis * axis.dot(span_v)) / span.norm();
    const Vector3d radius = leg - axis * axis.dot(leg);
    const Vector3d radius_v = leg_v - axis_v * axis.dot(leg) - axis * (axis_v.dot(leg) + axis.dot(leg_v));
    const Vector3d radial = radius.normalized();
    const Vector3d radial_v = (radius_v - radial * radial.dot(radius_v)) / radius.norm();
    const Vector3d from = at - p[index(outer)];
    return v[index(outer)] + axis_v * axis.dot(from) + radial_v * radial.dot(from) +
           (axis_v.cross(radial) + axis.cross(radial_v)) * axis.cross(radial).dot(from);
}

/// Velocities of all joints when the upright moves by a twist while an adjuster turns. Linear in both.
Points velocities(const State& s, const Twist& twist, const Moved& moved) {
    const Geometry& g = s.geometry;
    const Vector3d turn = twist.head<3>();
    Points v = moved.points;
    const auto rides_upright = [&](std::size_t p) {
        v[p] = twist.tail<3>() + turn.cross(s.at[p]) + s.upright * moved.points[p];
    };
    for (const Point p :
         {Point::upper_wishbone_outer, Point::lower_wishbone_outer, Point::track_rod_outer, Point::wheel_centre})
        rides_upright(index(p));

    const auto strut = static_cast<std::size_t>(g.strut_point);
    if (g.strut_on == Body::lower_wishbone)
        v[strut] = carried(s.at[strut], s.at, v, Point::lower_wishbone_front, Point::lower_wishbone_rear,
                           Point::lower_wishbone_outer);
    else if (g.strut_on == Body::upper_wishbone)
        v[strut] = carried(s.at[strut], s.at, v, Point::upper_wishbone_front, Point::upper_wishbone_rear,
                           Point::upper_wishbone_outer);
    else
        rides_upright(strut);

    if (g.has_rocker) {
        const Vector3d& base = s[Point::rocker_axis_point];
        const auto rides_rocker = [&](Point p, double turn_rate) -> Vector3d {
            return v[index(Point::rocker_axis_point)] + s.rocker_axis.cross(s[p] - base) * turn_rate +
                   s.rocker * moved.points[index(p)];
        };
        const Vector3d rod = (s[Point::pushrod_inner] - s.at[strut]).normalized();
        const double missing =
            moved.lengths[index(Length::pushrod)] - rod.dot(rides_rocker(Point::pushrod_inner, 0.0) - v[strut]);
        const double turn_rate = missing / rod.dot(s.rocker_axis.cross(s[Point::pushrod_inner] - base));
        v[index(Point::rocker_spring)] = rides_rocker(Point::rocker_spring, turn_rate);
        v[index(Point::pushrod_inner)] = rides_rocker(Point::pushrod_inner, turn_rate);
    }
    return v;
}

double spring_lengthening(const State& s, const Points& v) {
    const Geometry& g = s.geometry;
    const std::size_t eye = g.has_rocker ? index(Point::rocker_spring) : static_cast<std::size_t>(g.strut_point);
    return (s.at[eye] - s[Point::spring_chassis]).normalized().dot(v[eye] - v[index(Point::spring_chassis)]);
}

/// From the wheel centre to the lowest point of the rim's edge, and how it changes as the wheel turns.
struct Rim {
    Vector3d from_centre, rate;
};

Rim rim(const State& s, const Vector3d& up, const Vector3d& turn) {
    const Geometry& g = s.geometry;
    const double lean = up.dot(s.wheel_axis);
    const double edge = std::fabs(lean) < tolerances::upright_sine ? 0.0
                        : lean > 0.0                               ? -g.half_width_mm
                                                                   : g.half_width_mm;
    const Vector3d axis_v = turn.cross(s.wheel_axis);
    const double lean_v = up.dot(axis_v);
    const Vector3d across = up - s.wheel_axis * lean;
    const Vector3d across_v = -axis_v * lean - s.wheel_axis * lean_v;
    const double size = across.norm();
    return {s.wheel_axis * (edge + g.offset_mm) - across * (g.wheel_radius_mm / size),
            axis_v * (edge + g.offset_mm) -
                (across_v - across * (across.dot(across_v) / (size * size))) * (g.wheel_radius_mm / size)};
}

/// The rim's material rises with the lowest point: where that lies on the rim changes its height in second order only.
double contact_rise(const State& s, const Vector3d& up, const Twist& twist, const Points& v) {
    const Vector3d turn = twist.head<3>();
    return up.dot(v[index(Point::wheel_centre)] + turn.cross(rim(s, up, turn).from_centre));
}

double held_rate(const State& s, const Hold& hold, const Twist& twist, const Moved& moved) {
    const Points v = velocities(s, twist, moved);
    if (hold.what == Held::wheel) return v[index(Point::wheel_centre)].z();
    if (hold.what == Held::spring) return spring_lengthening(s, v);
    return contact_rise(s, eigen(hold.up), twist, v);
}

Vector3d along(const State& s, const Link& link) { return (s[link.upright] - s[link.chassis]).normalized(); }

Matrix6 constraints(const State& s, const Hold& hold) {
    Matrix6 m;
    for (std::size_t i = 0; i < link_ends.size(); ++i) {
        const Vector3d n = along(s, link_ends[i]);
        m.row(static_cast<Eigen::Index>(i)) << s[link_ends[i].upright].cross(n).transpose(), n.transpose();
    }
    for (Eigen::Index j = 0; j < 6; ++j) m(5, j) = held_rate(s, hold, Twist::Unit(j), {});
    return m;
}

/// Right-hand side of the 6x6 for one mm of an adjuster, what is held kept.
Twist asked(const State& s, const Hold& hold, const Moved& moved) {
    Twist b;
    for (std::size_t i = 0; i < link_ends.size(); ++i) {
        const Vector3d n = along(s, link_ends[i]);
        b(static_cast<Eigen::Index>(i)) = moved.lengths[index(upright_links[i])] +
                                          n.dot(moved.points[index(link_ends[i].chassis)]) -
                                          n.dot(s.upright * moved.points[index(link_ends[i].upright)]);
    }
    b(5) = -held_rate(s, hold, Twist::Zero(), moved);
    return b;
}

/// d atan(numerator / denominator), in degrees.
double angle_rate_deg(double numerator, double denominator, double numerator_v, double denominator_v) {
    return (numerator_v * denominator - numerator * denominator_v) /
           (numerator * numerator + denominator * denominator) * deg_per_rad;
}

/// A vector's components forward, outboard and up in a frame.
Vector3d in_frame(const Frame& f, double left, const Vector3d& v) {
    return {eigen(f.x).dot(v), eigen(f.y).dot(v) * left, eigen(f.z).dot(v)};
}

double toe_rate(const Vector3d& e, const Vector3d& e_v) { return angle_rate_deg(e.x(), e.y(), e_v.x(), e_v.y()); }
double camber_rate(const Vector3d& e, const Vector3d& e_v) { return angle_rate_deg(-e.z(), e.y(), -e_v.z(), e_v.y()); }

std::array<double, first_order_outputs.size()> output_rates(const State& s, const Twist& twist, const Moved& moved,
                                                            const Frame& frame) {
    const Points v = velocities(s, twist, moved);
    const Vector3d turn = twist.head<3>();
    const auto local = [&](const Vector3d& vector) { return in_frame(frame, s.geometry.left, vector); };

    const Vector3d e = local(s.wheel_axis), e_v = local(turn.cross(s.wheel_axis));
    const Vector3d k = local(s[Point::upper_wishbone_outer] - s[Point::lower_wishbone_outer]);
    const Vector3d k_v = local(v[index(Point::upper_wishbone_outer)] - v[index(Point::lower_wishbone_outer)]);

    const Rim edge = rim(s, eigen(frame.z), turn);
    const Vector3d at = s[Point::wheel_centre] + edge.from_centre;
    const Vector3d at_v = v[index(Point::wheel_centre)] + edge.rate;
    const Vector3d from = local(at - s[Point::lower_wishbone_outer]);
    const Vector3d from_v = local(at_v - v[index(Point::lower_wishbone_outer)]);
    // Where the steering axis meets the ground: lower joint + k * (drop / k.z).
    const double share = from.z() / k.z();
    const double share_v = (from_v.z() - share * k_v.z()) / k.z();

    return {toe_rate(e, e_v),
            camber_rate(e, e_v),
            -e_v.z() / std::hypot(e.x(), e.y()) * deg_per_rad,
            angle_rate_deg(-k.x(), k.z(), -k_v.x(), k_v.z()),
            angle_rate_deg(-k.y(), k.z(), -k_v.y(), k_v.z()),
            k_v.x() * share + k.x() * share_v - from_v.x(),
            from_v.y() - k_v.y() * share - k.y() * share_v,
            local(at_v).y(),
            -local(at_v).z(),
            spring_lengthening(s, v)};
}

}  // namespace

Matrix6 constraints(const Setup& setup, const Solved& solved, const Hold& hold) {
    return constraints(state(setup, solved), hold);
}

Twist null_twist(const Setup& setup, const Solved& solved, const Hold& hold) {
    return solve_square(constraints(setup, solved, hold), Twist::Unit(5));
}

NullRates null_rates(const Setup& setup, const Solved& solved, const Frame& frame) {
    const State s = state(setup, solved);
    const Twist per_travel = solve_square(constraints(s, {.what = Held::wheel}), Twist::Unit(5));
    const Points v = velocities(s, per_travel, {});
    const Vector3d turn = per_travel.head<3>();
    const Vector3d e = in_frame(frame, s.geometry.left, s.wheel_axis);
    const Vector3d e_v = in_frame(frame, s.geometry.left, turn.cross(s.wheel_axis));
    return {-spring_lengthening(s, v) / contact_rise(s, eigen(frame.z), per_travel, v), toe_rate(e, e_v),
            camber_rate(e, e_v)};
}

std::vector<std::array<double, first_order_outputs.size()>> rates_by_matrix(const Setup& setup, const Hold& hold,
                                                                            double value, const Frame& frame) {
    const Solved solved = solve_or_throw(setup, linkage(setup.geometry, setup.parts()), hold, value);
    const State s = state(setup, solved);
    const Matrix6 held = constraints(s, hold);
    std::vector<std::array<double, first_order_outputs.size()>> rates;
    for (std::size_t a = 0; a < setup.amounts_mm.size(); ++a) {
        const Moved moved = moved_by(setup.geometry, a);
        rates.push_back(output_rates(s, solve_square(held, asked(s, hold, moved)), moved, frame));
    }
    return rates;
}

}  // namespace shimwise
