// Forces at rest by laws that the solver does not use: springs against the energy's loads, each body's balance
// assembled here from the result alone, the chassis under its own weight, drop links by differences of energy.
#include "shimwise/rest/forces.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/balance.hpp"
#include "motion/differences.hpp"
#include "rest/sprung_cars.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace sprung_cars;
using corners::at_joint;
using corners::Balance;

namespace {

/// A corner's joints as it stands, made from its half tangent alone.
struct Joints {
    std::array<Vec3<double>, point_count> at;
    Vec3<double> drop_link, bar_arm_end, third, unsprung_cg, rocker_centre;

    Joints(const RestModel& m, const RestState& state, std::size_t c) {
        const Parts<double> parts = m.setups[c].parts();
        const Linkage<double> l = linkage(m.setups[c].geometry, parts);
        const Pose<double> p = pose(l, state.corners[c].half_tan);
        const Strut<double> s = strut(l, p);
        at = joints(parts, l, p, s);
        const Riding<double> r = riding(m.riders[c], parts, l, p, s);
        drop_link = r.drop_link;
        at[static_cast<std::size_t>(m.setups[c].geometry.drop_link_point)] = r.drop_link;
        if (m.riders[c].has_bar) bar_arm_end = m.riders[c].bar.circle.centre + r.bar_arm;
        third = r.third;
        unsprung_cg = r.unsprung_cg;
    }
    const Vec3<double>& operator[](Point p) const { return at[index(p)]; }
};

double load_N(const RestState& state, std::size_t c) {
    return state.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2;
}

double axial(const RestCornerForces& f, Member m) {
    REQUIRE(f.forces.axial_N[index(m)].has_value());
    return *f.forces.axial_N[index(m)];
}

/// What a pulled member does at its end `on`.
Vec3<double> pull(const Vec3<double>& on, const Vec3<double>& toward, double tension) {
    return unit(toward - on) * tension;
}

/// What the drop link does to the corner, from its axial force alone.
Vec3<double> drop_link_force(const Joints& at, const RestCornerForces& f) {
    return pull(at.drop_link, at.bar_arm_end, axial(f, Member::drop_link));
}

struct SprungCorner {
    const SprungCar& car;
    std::size_t c;
    const Geometry& geometry;
    Joints at;
    const RestCornerForces& f;

    SprungCorner(const SprungCar& of, std::size_t number, const RestForces& all)
        : car(of),
          c(number),
          geometry(of.model.setups[number].geometry),
          at(of.model, of.state, number),
          f(all.corners[number]) {}

    bool bar() const { return car.model.riders[c].has_bar; }
    Point strut_point() const { return static_cast<Point>(geometry.strut_point); }
    Vec3<double> strut_force() const {
        const bool rocker = geometry.has_rocker;
        return pull(at[strut_point()], at[rocker ? Point::pushrod_inner : Point::spring_chassis],
                    axial(f, rocker ? Member::pushrod : Member::spring));
    }
};

double upright_left_over(const SprungCorner& k) {
    const Vec3<double>& plumb = k.car.state.corners[k.c].plumb;
    Balance b;
    b.add(k.car.state.corners[k.c].contact_mm, plumb * load_N(k.car.state, k.c));
    b.add(k.at.unsprung_cg, plumb * (-k.car.model.car.corners[k.c].unsprung_kg * gravity_m_per_s2));
    for (const JointForce& j : k.f.forces.on_upright) b.add(k.at[j.point], j.force_N);
    return b.left_over();
}

double wishbone_left_over(const SprungCorner& k, bool upper) {
    const Point front = upper ? Point::upper_wishbone_front : Point::lower_wishbone_front;
    const Point rear = upper ? Point::upper_wishbone_rear : Point::lower_wishbone_rear;
    const Point outer = upper ? Point::upper_wishbone_outer : Point::lower_wishbone_outer;
    const Body body = upper ? Body::upper_wishbone : Body::lower_wishbone;
    Balance b;
    b.add(k.at[outer], -at_joint(k.f.forces.on_upright, outer));
    if (k.geometry.strut_on == body) b.add(k.at[k.strut_point()], k.strut_force());
    if (k.bar() && k.geometry.drop_link_on == body) b.add(k.at.drop_link, drop_link_force(k.at, k.f));
    b.add(k.at[front], -at_joint(k.f.forces.on_chassis, front));
    b.add(k.at[rear], -at_joint(k.f.forces.on_chassis, rear));
    b.add(k.at[rear], unit(k.at[front] - k.at[rear]) *
                          -(upper ? k.f.forces.along_upper_pickups_N : k.f.forces.along_lower_pickups_N));
    return b.left_over();
}

/// The third element's force on the left, or on the right, from its load.
Vec3<double> third_force(const SprungCar& s, std::size_t c) {
    const std::size_t axle = c / 2;
    const Vec3<double> apart = Joints(s.model, s.state, c).third - Joints(s.model, s.state, c ^ 1u).third;
    const double load_N = s.state.values.car[index(CarOutput::front_third_load) + axle];
    return unit(apart) * (s.model.car.thirds[axle]->carries_pull ? -load_N : load_N);
}

double rocker_left_over(const SprungCorner& k) {
    Balance b;
    b.add(k.at[Point::pushrod_inner],
          pull(k.at[Point::pushrod_inner], k.at[Point::pushrod_outer], axial(k.f, Member::pushrod)));
    b.add(k.at[Point::rocker_spring],
          pull(k.at[Point::rocker_spring], k.at[Point::spring_chassis], axial(k.f, Member::spring)));
    if (k.bar()) b.add(k.at.drop_link, drop_link_force(k.at, k.f));
    if (k.car.model.riders[k.c].has_third) b.add(k.at.third, third_force(k.car, k.c));
    b.add(k.at[Point::rocker_axis_point], -at_joint(k.f.forces.on_chassis, Point::rocker_axis_point));
    b.add_moment(-*k.f.forces.rocker_moment_Nmm);
    CHECK_NEAR(dot(*k.f.forces.rocker_moment_Nmm, k.geometry.rocker_axis), 0.0, 1e-6);
    return b.left_over();
}

/// What a corner gives to the chassis.
void add_to_chassis(const SprungCorner& k, Balance& chassis) {
    for (const JointForce& j : k.f.forces.on_chassis) chassis.add(k.at[j.point], j.force_N);
    const auto along = [&](Point front, Point rear, double force_N) {
        chassis.add(k.at[rear], unit(k.at[front] - k.at[rear]) * force_N);
    };
    along(Point::upper_wishbone_front, Point::upper_wishbone_rear, k.f.forces.along_upper_pickups_N);
    along(Point::lower_wishbone_front, Point::lower_wishbone_rear, k.f.forces.along_lower_pickups_N);
    if (k.f.forces.rocker_moment_Nmm) chassis.add_moment(*k.f.forces.rocker_moment_Nmm);
}

template <class Work>
void for_cars(const std::string& what, int brief, int full, const Work& work) {
    const int seeds = test_size(what, brief, full);
    for (int seed = 0; seed < seeds; ++seed) {
        const SprungCar s = sprung_car(seed);
        INFO(s.name);
        work(s, rest_forces(s.model, s.state));
    }
}

}  // namespace

TEST_CASE("at rest each spring's force by equilibrium is its load by the energy") {
    double worst = 0.0;
    int stopped = 0, rubbers = 0, thirds = 0, direct = 0, bars = 0, twisted = 0;
    for_cars("springs at rest, cars", 60, 600, [&](const SprungCar& s, const RestForces& f) {
        twisted += s.model.twists();
        for (std::size_t c = 0; c < corner_count; ++c) {
            const auto& loads = s.state.values.loads[c];
            const double by_energy = -(loads[index(CornerLoad::spring_load)] + loads[index(CornerLoad::rubber_load)]) +
                                     s.state.corners[c].stop_pull_N;
            const double off = std::fabs(axial(f.corners[c], Member::spring) - by_energy) / load_N(s.state, c);
            CHECK(off <= 1e-9);
            worst = std::max(worst, off);
            stopped += s.state.corners[c].on_droop_stop && s.state.corners[c].stop_pull_N > 100.0;
            rubbers += loads[index(CornerLoad::rubber_load)] > 10.0;
            thirds += f.corners[c].third && length(f.corners[c].third->force_N) > 10.0;
            direct += !s.model.setups[c].geometry.has_rocker;
            bars += f.corners[c].drop_link && length(f.corners[c].drop_link->force_N) > 10.0;
        }
    });
    std::cout << "springs at rest against the energy: worst " << worst << " of the load; " << stopped << " on stops, "
              << rubbers << " rubbers, " << thirds << " third ends, " << direct << " without rocker, " << bars
              << " drop links, " << twisted << " cars twist\n";
    for (const int count : {stopped, rubbers, thirds, direct, bars, twisted}) CHECK(count >= 10);
}

TEST_CASE("at rest upright, wishbones, rocker and bar are each in balance") {
    double worst = 0.0;
    for_cars("balance at rest, cars", 60, 600, [&](const SprungCar& s, const RestForces& f) {
        const auto balanced = [&](double left_over_N, double load) {
            CHECK(left_over_N <= 1e-9 * load);
            worst = std::max(worst, left_over_N / load);
        };
        for (std::size_t c = 0; c < corner_count; ++c) {
            const SprungCorner k(s, c, f);
            INFO(corner_names[c]);
            const double load = load_N(s.state, c);
            balanced(upright_left_over(k), load);
            balanced(wishbone_left_over(k, true), load);
            balanced(wishbone_left_over(k, false), load);
            if (k.geometry.has_rocker) balanced(rocker_left_over(k), load);
            for (const bool upper : {true, false}) {
                const Body body = upper ? Body::upper_wishbone : Body::lower_wishbone;
                const bool beam = k.geometry.strut_on == body || (k.bar() && k.geometry.drop_link_on == body);
                const Member leg = upper ? Member::upper_wishbone_front_leg : Member::lower_wishbone_front_leg;
                CHECK(k.f.forces.axial_N[index(leg)].has_value() == !beam);
            }
        }
        for (std::size_t axle = 0; axle < 2; ++axle) {
            REQUIRE(f.bars[axle].has_value() == s.model.car.bars[axle].has_value());
            if (!f.bars[axle]) continue;
            const Bar& bar = *s.model.car.bars[axle];
            const BarForces& b = *f.bars[axle];
            const Vec3<double> axis = unit(bar.bearing[0] - bar.bearing[1]);
            const double load = load_N(s.state, 2 * axle) + load_N(s.state, 2 * axle + 1);
            Balance whole;
            for (std::size_t side = 0; side < 2; ++side) {
                const Joints at(s.model, s.state, 2 * axle + side);
                const Vec3<double> on_arm = -drop_link_force(at, f.corners[2 * axle + side]);
                CHECK(length(b.arm_N[side] - on_arm) <= 1e-9 * load);
                CHECK(length(b.arm_mm[side] - at.bar_arm_end) <= 1e-9);
                CHECK_NEAR(dot(b.bearing_N[side], axis), 0.0, 1e-9 * load);
                whole.add(at.bar_arm_end, on_arm);
                whole.add(bar.bearing[side], -b.bearing_N[side]);
                Balance arm;  // by itself, about the axis: what the bar's torsion holds
                const double turned = dot(axis, cross(at.bar_arm_end - bar.bearing[1], on_arm));
                CHECK_NEAR(turned, side == 0 ? b.torsion_Nmm : -b.torsion_Nmm, 1e-7 * load);
            }
            whole.add(bar.bearing[1], axis * -b.along_bearings_N);
            balanced(whole.left_over(), load);
            CHECK(b.out_of_balance_N <= 1e-9 * load);
            CHECK_NEAR(b.torsion_Nmm, s.state.values.car[index(CarOutput::front_bar_torque) + axle] * 1000.0, 1e-9);
        }
    });
    std::cout << "balance of each body at rest: worst " << worst << " of the load\n";
}

// The chassis carries its weights on what corners and bars give to it; third elements stand between rockers.
TEST_CASE("a rigid chassis at rest is in balance under its own weight") {
    double worst = 0.0;
    int cars = 0;
    for_cars("chassis at rest, cars", 40, 400, [&](const SprungCar& s, const RestForces& f) {
        if (s.model.twists()) return;
        Balance chassis;
        for (std::size_t c = 0; c < corner_count; ++c) add_to_chassis(SprungCorner(s, c, f), chassis);
        for (std::size_t axle = 0; axle < 2; ++axle)
            if (f.bars[axle]) {
                const Bar& bar = *s.model.car.bars[axle];
                for (std::size_t side = 0; side < 2; ++side)
                    chassis.add(bar.bearing[side], f.bars[axle]->bearing_N[side]);
                chassis.add(bar.bearing[0], unit(bar.bearing[0] - bar.bearing[1]) * f.bars[axle]->along_bearings_N);
            }
        for (const Weight& weight : s.model.weights)
            chassis.add(weight.at_mm, s.state.corners[0].plumb * (-weight.kg * gravity_m_per_s2));
        const double off = chassis.left_over(1000.0) / (s.model.total_kg() * gravity_m_per_s2);
        CHECK(off <= 1e-9);
        worst = std::max(worst, off);
        ++cars;
    });
    std::cout << "balance of the chassis at rest: worst " << worst << " of the weight, " << cars << " cars\n";
    CHECK(cars >= 10);
}

// A link under tension that is let out by dl gives up pull * dl of the bar's energy; nothing else moves.
TEST_CASE("a drop link's pull is what the bar's energy loses when the link is let out") {
    int checked = 0;
    for_cars("drop links, cars", 20, 200, [&](const SprungCar& s, const RestForces& f) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            if (!s.model.riders[c].has_bar) continue;
            const std::size_t axle = c / 2;
            const double rate = s.model.car.bars[axle]->rate_Nm_per_deg * deg_per_rad * mm_per_m;
            const auto turn = [&](std::size_t corner, double longer_mm) {
                Riders riders = s.model.riders[corner];
                riders.bar.link_mm += longer_mm;
                const Parts<double> parts = s.model.setups[corner].parts();
                const Linkage<double> l = linkage(s.model.setups[corner].geometry, parts);
                const Pose<double> p = pose(l, s.state.corners[corner].half_tan);
                return riding(riders, parts, l, p, strut(l, p)).bar_rad;
            };
            const auto energy = [&](double longer_mm) {
                const double twist = turn(c, longer_mm) - turn(c ^ 1u, 0.0);
                return std::array{0.5 * rate * twist * twist};
            };
            const double loses = -corners::by_differences(0.02, energy)[0];
            CHECK_NEAR(axial(f.corners[c], Member::drop_link), loses, 1e-7 * load_N(s.state, c));
            ++checked;
        }
    });
    CHECK(checked >= 20);
}

// DERIVED: half way out on a level lower wishbone the spring carries twice what the wheel brings in, its own weight
// less.
TEST_CASE("an unsprung weight at the wheel is taken off what the spring carries") {
    const Corner c = corners::level_corner(false);
    const Setup s = setup(c);
    const Solved solved = solve(linkage(s.geometry, s.parts()), {.what = Held::wheel}, 250.0);
    const Vec3<double> up = {0.0, 0.0, 1.0};
    const auto spring = [&](const std::vector<Acting>& more) {
        return *forces(s, solved, up * 1100.0, up, more).axial_N[index(Member::spring)];
    };
    CHECK_NEAR(spring({}), -2200.0, 1e-8);
    CHECK_NEAR(spring({{Body::upright, {0.0, 610.0, 240.0}, up * -150.0}}), -1900.0, 1e-8);
    // A drop link half way out pulls down: its pull goes into the spring, and the lower legs bend.
    CHECK_NEAR(spring({{Body::lower_wishbone, {30.0, 400.0, 150.0}, up * -80.0}}), -2120.0, 1e-8);
}

TEST_CASE("a drop link that points at its bar's axis is refused by name") {
    SprungCar s = sprung_car(1);
    for (int seed = 2; !s.model.riders[0].has_bar; ++seed) s = sprung_car(seed);
    BarArm& bar = s.model.riders[0].bar;
    const Joints at(s.model, s.state, 0);
    const double adjusted_mm = s.model.setups[0].parts().at(Length::drop_link);
    bar.link_mm = 1.0 + missing(bar.circle, at.drop_link, 1.0) - adjusted_mm;  // just long enough to reach
    try {
        rest_forces(s.model, s.state);
        FAIL("a link at its toggle");
    } catch (const OutOfReach& failure) {
        CHECK(std::string(failure.what()).find("front_left: the drop link is at its toggle") == 0);
    }
}
