// What acts on upright, wishbones and rocker, and the equations that make them balance.
#pragma once

#include <Eigen/Core>
#include <array>
#include <cmath>
#include <vector>

#include "shimwise/motion/forces.hpp"

namespace shimwise::equilibrium {

/// Force on the upright at its upper joint (3) and at its lower joint (3); pull of track rod, strut and spring. The
/// strut is the pushrod, or the spring where there is no rocker.
using Unknowns = Eigen::Matrix<double, 9, 1>;
inline constexpr Eigen::Index upper_joint = 0, lower_joint = 3, track_rod_pull = 6, strut_pull = 7, spring_pull = 8;

/// The larger one, or NaN.
inline double larger(double a, double b) { return std::isnan(a) || b <= a ? a : b; }
inline double size(const Vec3<double>& v) { return std::sqrt(squared(v)); }
inline Vec3<double> direction(const Vec3<double>& from, const Vec3<double>& to) {
    return (to - from) * (1.0 / size(to - from));
}

struct Wishbone {
    Body body = Body::upper_wishbone;
    Point front = Point::upper_wishbone_front, rear = Point::upper_wishbone_rear, outer = Point::upper_wishbone_outer;
};
inline constexpr Wishbone upper_wishbone = {};
inline constexpr Wishbone lower_wishbone = {Body::lower_wishbone, Point::lower_wishbone_front,
                                            Point::lower_wishbone_rear, Point::lower_wishbone_outer};

/// A solved corner and the contact under it.
struct State {
    const Geometry& geometry;
    std::array<Vec3<double>, point_count> at;
    Vec3<double> contact;
    double scale_mm = 1.0;  // moments are compared with forces over the distance of the outer joints

    State(const Setup& setup, const Solved& solved, const Vec3<double>& up);

    const Vec3<double>& operator[](Point p) const { return at[index(p)]; }
    Point strut_outer() const { return static_cast<Point>(geometry.strut_point); }
    Point strut_inner() const { return geometry.has_rocker ? Point::pushrod_inner : Point::spring_chassis; }
    Point spring_eye() const { return geometry.has_rocker ? Point::rocker_spring : Point::spring_outer; }
    Vec3<double> pickup_axis(const Wishbone& w) const { return direction((*this)[w.rear], (*this)[w.front]); }
    /// What a pull does at the joint `on` of the line that leads to `toward`.
    Vec3<double> pull(Point on, Point toward, double tension_N) const {
        return direction((*this)[on], (*this)[toward]) * tension_N;
    }
};

struct Applied {
    Vec3<double> at, force;
};

struct Sum {
    Vec3<double> force, moment;
};
Sum sum(const std::vector<Applied>& all, const Vec3<double>& about);

/// What a body that is held at two bearings and turns about the axis through them gives to the chassis: across the axis
/// at each what turns the body about the other one; of what is along the axis (from `rear` to `front`) only the sum is
/// determined.
struct Bearings {
    Vec3<double> front, rear;
    double along = 0.0;
};
Bearings bearings(const Vec3<double>& front, const Vec3<double>& rear, const std::vector<Applied>& all);

/// The load of the ground at the contact, and what else acts.
struct Loads {
    Vec3<double> load_N;
    std::vector<Acting> more;

    double size_N() const;  // of all together
};

/// What acts on each body, the chassis left out; on a wishbone its outer joint comes first.
struct Bodies {
    std::vector<Applied> upright, upper, lower, rocker;

    std::vector<Applied>& at(Body body) {
        return body == Body::upright          ? upright
               : body == Body::upper_wishbone ? upper
               : body == Body::lower_wishbone ? lower
                                              : rocker;
    }
};
Bodies bodies(const State& s, const Unknowns& x, const Loads& loads);

/// The unknowns for which all bodies balance. Throws OutOfReach where the linkage is at its toggle.
Unknowns solve(const State& s, const Loads& loads);

}  // namespace shimwise::equilibrium
