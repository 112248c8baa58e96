// Solved corners under a load, and the pulls in them by what `forces` says.
#pragma once

#include <array>
#include <cmath>
#include <string>

#include "catch.hpp"
#include "motion/balance.hpp"

namespace corners {

using Joints = std::array<Vec3<double>, point_count>;

struct Wishbone {
    Body body;
    Point front, rear, outer;
    Member front_leg, rear_leg;
};
inline constexpr std::array<Wishbone, 2> wishbones = {
    {{Body::upper_wishbone, Point::upper_wishbone_front, Point::upper_wishbone_rear, Point::upper_wishbone_outer,
      Member::upper_wishbone_front_leg, Member::upper_wishbone_rear_leg},
     {Body::lower_wishbone, Point::lower_wishbone_front, Point::lower_wishbone_rear, Point::lower_wishbone_outer,
      Member::lower_wishbone_front_leg, Member::lower_wishbone_rear_leg}}};

/// A solved state off the drawn one, and a load that points anywhere.
struct Case {
    Kind kind;
    int seed = 0;
    Setup setup;
    Linkage<double> linkage;
    Solved solved;
    Joints at;
    Vec3<double> load_N;

    Case(const Kind& k, int number)
        : kind(k), seed(number), setup(turned(k, number)), linkage(linked(setup)), load_N(load(number)) {
        const double drawn_mm = setup.geometry.drawn.points[index(Point::wheel_centre)].z;
        double travel_mm = Random("travel of forces", seed).within(20.0);
        do {
            solved = solve(linkage, {.what = Held::wheel}, drawn_mm + travel_mm);
            travel_mm *= 0.5;  // not every random pushrod reaches
        } while (solved.status == Status::pushrod_open && std::fabs(travel_mm) > 0.1);
        REQUIRE(solved.status == Status::ok);
        at = joints(setup.parts(), linkage, solved.pose, solved.strut);
    }
    Case(const Case&) = delete;  // the linkage points into the setup
    Case& operator=(const Case&) = delete;

    const Vec3<double>& operator[](Point p) const { return at[index(p)]; }
    const Geometry& geometry() const { return setup.geometry; }
    Point strut_point() const { return static_cast<Point>(geometry().strut_point); }
    Point spring_eye() const { return geometry().has_rocker ? Point::rocker_spring : strut_point(); }
    Vec3<double> pickup_axis(const Wishbone& w) const { return unit((*this)[w.front] - (*this)[w.rear]); }
    std::string name() const { return kind.name() + ", seed " + std::to_string(seed); }

    static Vec3<double> load(int seed) {
        const Vec3<double> any = Random("load", seed).point_within(2000.0);
        return seed == 0 ? Vec3<double>{0.0, 0.0, 1000.0} : any;
    }
};

template <class Work>
void for_all(int seeds, const Work& work) {
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds()) {
            const Case c(kind, seed);
            INFO(c.name());
            work(c);
        }
}

inline double axial(const Forces& f, Member m) {
    REQUIRE(f.axial_N[index(m)].has_value());
    return *f.axial_N[index(m)];
}

inline double along_pickups(const Forces& f, const Wishbone& w) {
    return w.body == Body::upper_wishbone ? f.along_upper_pickups_N : f.along_lower_pickups_N;
}

inline Vec3<double> pull(const Case& c, Point on, Point toward, double tension) {
    return unit(c[toward] - c[on]) * tension;
}

/// What pushrod or spring does to the body that carries it.
inline Vec3<double> strut_force(const Case& c, const Forces& f) {
    const bool rocker = c.geometry().has_rocker;
    return pull(c, c.strut_point(), rocker ? Point::pushrod_inner : Point::spring_chassis,
                axial(f, rocker ? Member::pushrod : Member::spring));
}

inline void check_near(const Vec3<double>& actual, const Vec3<double>& expected, double margin) {
    CHECK_NEAR(actual.x, expected.x, margin);
    CHECK_NEAR(actual.y, expected.y, margin);
    CHECK_NEAR(actual.z, expected.z, margin);
}

}  // namespace corners
