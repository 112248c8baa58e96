#include "shimwise/motion/forces.hpp"

#include <algorithm>
#include <cmath>

#include "motion/at_corner.hpp"
#include "motion/equilibrium.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {
namespace {

using namespace equilibrium;

/// The pulls in two legs that make up the force at their joint.
struct Legs {
    double front = 0.0, rear = 0.0;
};

Legs legs(const State& s, const Wishbone& w, const Vec3<double>& on_upright) {
    const Vec3<double> front = s.pull(w.outer, w.front, 1.0), rear = s.pull(w.outer, w.rear, 1.0);
    const Vec3<double> across = cross(front, rear);
    const double inverse = 1.0 / squared(across);
    return {dot(cross(on_upright, rear), across) * inverse, dot(cross(front, on_upright), across) * inverse};
}

/// Worst sum of forces, or of moments over `scale_mm`, of each body and of the whole corner, put back from the result.
double out_of_balance(const State& s, const Bodies& b, const Loads& loads, const Forces& f) {
    double worst = 0.0;
    const auto take = [&worst](double off) { worst = larger(worst, off); };
    const auto balance = [&](const std::vector<Applied>& all, const Vec3<double>& moment) {
        const Sum left = sum(all, s[Point::wheel_centre]);
        take(size(left.force));
        take(size(left.moment + moment) / s.scale_mm);
    };
    std::vector<Applied> corner = {{s.contact, f.load_N}};
    for (const Acting& a : loads.more) corner.push_back({a.at_mm, a.force_N});
    const auto from_chassis = [&](std::vector<Applied>& body, Point p, const Vec3<double>& more) {
        const auto joint =
            std::find_if(f.on_chassis.begin(), f.on_chassis.end(), [p](const JointForce& j) { return j.point == p; });
        body.push_back({s[p], -(joint->force_N + more)});
        corner.push_back(body.back());
    };
    const auto wishbone = [&](std::vector<Applied> all, const Wishbone& w, double along_N, Member front, Member rear) {
        const Vec3<double> on_upright = -all.front().force;
        from_chassis(all, w.front, s.pickup_axis(w) * along_N);
        from_chassis(all, w.rear, {});
        balance(all, {});
        if (const auto &pull_front = f.axial_N[index(front)], &pull_rear = f.axial_N[index(rear)]; pull_front)
            take(size(s.pull(w.outer, w.front, *pull_front) + s.pull(w.outer, w.rear, *pull_rear) - on_upright));
    };
    balance(b.upright, {});
    wishbone(b.upper, upper_wishbone, f.along_upper_pickups_N, Member::upper_wishbone_front_leg,
             Member::upper_wishbone_rear_leg);
    wishbone(b.lower, lower_wishbone, f.along_lower_pickups_N, Member::lower_wishbone_front_leg,
             Member::lower_wishbone_rear_leg);
    Vec3<double> bearing;
    if (f.rocker_moment_Nmm) {
        bearing = -*f.rocker_moment_Nmm;
        std::vector<Applied> rocker = b.rocker;
        from_chassis(rocker, Point::rocker_axis_point, {});
        balance(rocker, bearing);
    }
    std::vector<Applied> fixed;
    from_chassis(fixed, Point::track_rod_inner, {});
    from_chassis(fixed, Point::spring_chassis, {});
    balance(corner, bearing);
    return worst;
}

}  // namespace

Forces forces(const Setup& setup, const Solved& solved, const Vec3<double>& load_N, const Vec3<double>& up,
              const std::vector<Acting>& more) {
    const State s(setup, solved, up);
    const Geometry& g = s.geometry;
    const Loads loads = {load_N, more};
    const Unknowns x = equilibrium::solve(s, loads);
    const Bodies b = bodies(s, x, loads);

    Forces f;
    f.load_N = load_N;
    f.contact_mm = s.contact;
    const auto wishbone = [&](const Wishbone& w, const std::vector<Applied>& all, Member front, Member rear) {
        const Vec3<double> on_upright = -all.front().force;
        f.on_upright.push_back({w.outer, on_upright});
        const Bearings p = bearings(s[w.front], s[w.rear], all);
        f.on_chassis.push_back({w.front, p.front});
        f.on_chassis.push_back({w.rear, p.rear});
        if (all.size() == 1) {  // nothing but its outer joint
            const Legs l = legs(s, w, on_upright);
            f.axial_N[index(front)] = l.front;
            f.axial_N[index(rear)] = l.rear;
        }
        return p.along;
    };
    f.along_upper_pickups_N =
        wishbone(upper_wishbone, b.upper, Member::upper_wishbone_front_leg, Member::upper_wishbone_rear_leg);
    f.along_lower_pickups_N =
        wishbone(lower_wishbone, b.lower, Member::lower_wishbone_front_leg, Member::lower_wishbone_rear_leg);

    f.axial_N[index(Member::track_rod)] = x(track_rod_pull);
    f.axial_N[index(Member::spring)] = x(spring_pull);
    if (g.has_rocker) f.axial_N[index(Member::pushrod)] = x(strut_pull);
    const auto on_chassis = [&](Point inner, Point outer, double tension_N) {
        f.on_chassis.push_back({inner, s.pull(inner, outer, tension_N)});
    };
    f.on_upright.push_back(
        {Point::track_rod_outer, s.pull(Point::track_rod_outer, Point::track_rod_inner, x(track_rod_pull))});
    on_chassis(Point::track_rod_inner, Point::track_rod_outer, x(track_rod_pull));
    if (g.strut_on == Body::upright)
        f.on_upright.push_back({s.strut_outer(), s.pull(s.strut_outer(), s.strut_inner(), x(strut_pull))});
    if (g.has_rocker) {
        const Sum on_axis = sum(b.rocker, s[Point::rocker_axis_point]);
        f.on_chassis.push_back({Point::rocker_axis_point, on_axis.force});
        f.rocker_moment_Nmm = on_axis.moment - g.rocker_axis * dot(g.rocker_axis, on_axis.moment);
    }
    on_chassis(Point::spring_chassis, s.spring_eye(), x(spring_pull));

    f.out_of_balance_N = out_of_balance(s, b, loads, f);
    if (!(f.out_of_balance_N <= tolerances::balance * loads.size_N()))
        throw OutOfReach("the forces of the corner do not balance: " + std::to_string(f.out_of_balance_N) +
                         " N are left over");
    return f;
}

Forces forces(const Setup& setup, const Solved& solved, const Vec3<double>& load_N) {
    return forces(setup, solved, load_N, {0.0, 0.0, 1.0}, {});
}

Forces forces(const Corner& corner, const Vec3<double>& load_N, double travel_mm, double rack_mm) {
    return at_corner(corner.id, [&] {
        const Setup s = setup(corner, rack_mm);
        const double height_mm = corner.at(Point::wheel_centre).z + travel_mm;
        return forces(s, solve_or_throw(s, linkage(s.geometry, s.parts()), {.what = Held::wheel}, height_mm), load_N);
    });
}

}  // namespace shimwise
