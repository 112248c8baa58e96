// Forces by virtual work, which their solver does not use: by the 6x6 and by differences of poses.
#include <Eigen/LU>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/force_cases.hpp"
#include "motion/rigid_motion.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

/// Where the upright's material at the contact is once something has been changed by so much, the spring held.
class MovedContact {
public:
    explicit MovedContact(const Case& c)
        : case_(c), on_upright_(coordinates(c.solved.pose, contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}))) {}

    /// load . d(contact) per unit of `change(setup, held spring, amount)`, by Richardson's central differences.
    template <class Change>
    double work(const Change& change, double h = 0.1) const {
        const auto at = [&](double amount) {
            Setup s = case_.setup;
            double spring_mm = case_.solved.strut.spring_length;
            change(s, spring_mm, amount);
            const Solved moved = solve(linked(s), {.what = Held::spring}, spring_mm, case_.solved.half_tan);
            REQUIRE(moved.status == Status::ok);
            return dot(case_.load_N, place_of(moved.pose));
        };
        return (8.0 * (at(h) - at(-h)) - (at(2.0 * h) - at(-2.0 * h))) / (12.0 * h);
    }
    double by_length(Length l) const {
        return work([l](Setup& s, double&, double more) { s.geometry.drawn.lengths[index(l)] += more; });
    }
    double by_spring() const {
        return work([](Setup&, double& spring_mm, double more) { spring_mm += more; });
    }
    /// Of points fixed to the chassis, moved together; the links keep their lengths.
    double by_points(const std::vector<Point>& points, const Vec3<double>& way) const {
        return work([&](Setup& s, double&, double more) {
            const int adjuster = static_cast<int>(s.amounts_mm.size());
            for (const Point p : points)
                s.geometry.changes.push_back(
                    {.adjuster = adjuster, .point = static_cast<int>(p), .length = -1, .per_mm = way});
            s.amounts_mm.push_back(more);
        });
    }
    /// Of the rocker and its axis, turned about the axis point.
    double by_rocker_turn(const Vec3<double>& axis) const {
        return work(
            [&](Setup& s, double&, double more) {
                const Vec3<double> base = s.geometry.drawn.points[index(Point::rocker_axis_point)];
                const RigidMotion turn = {axis, more, {}};
                s.geometry.rocker_axis = turn.turn(s.geometry.rocker_axis);
                for (const Point p : {Point::pushrod_inner, Point::rocker_spring, Point::rocker_drop_link}) {
                    Vec3<double>& at = s.geometry.drawn.points[index(p)];
                    at = base + turn.turn(at - base);
                }
            },
            1e-3);
    }

private:
    static std::array<Vec3<double>, 3> axes(const Pose<double>& p) {
        const Vec3<double> radius = unit(p.steering_radius);
        return {p.steering_axis, radius, cross(p.steering_axis, radius)};
    }
    static Vec3<double> coordinates(const Pose<double>& p, const Vec3<double>& at) {
        const auto [a, b, c] = axes(p);
        const Vec3<double> from = at - p.lower_outer;
        return {dot(from, a), dot(from, b), dot(from, c)};
    }
    Vec3<double> place_of(const Pose<double>& p) const {
        const auto [a, b, c] = axes(p);
        return p.lower_outer + a * on_upright_.x + b * on_upright_.y + c * on_upright_.z;
    }

    const Case& case_;
    Vec3<double> on_upright_;
};

}  // namespace

TEST_CASE("the 6x6's transpose gives the same forces by virtual work") {
    const int seeds = test_size("forces by the 6x6, corners of each kind", 20, 400);
    double worst = 0.0;
    for_all(seeds, [&](const Case& c) {
        const Forces f = forces(c.setup, c.solved, c.load_N);
        const Vec3<double> turning = cross(contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}), c.load_N);
        Twist load;  // work per twist
        load << turning.x, turning.y, turning.z, c.load_N.x, c.load_N.y, c.load_N.z;
        // load . twist = sum of each pull times its lengthening, for every twist
        const Twist pulls =
            constraints(c.setup, c.solved, {.what = Held::spring}).transpose().partialPivLu().solve(load);
        const auto check = [&](Member m, Eigen::Index row) {
            INFO(member_names[index(m)]);
            const double off = std::fabs(axial(f, m) - pulls(row)) / length(c.load_N);
            CHECK(off <= 1e-12);
            worst = std::max(worst, off);
        };
        if (c.geometry().strut_on != Body::upper_wishbone) {
            check(Member::upper_wishbone_front_leg, 0);
            check(Member::upper_wishbone_rear_leg, 1);
        }
        if (c.geometry().strut_on != Body::lower_wishbone) {
            check(Member::lower_wishbone_front_leg, 2);
            check(Member::lower_wishbone_rear_leg, 3);
        }
        check(Member::track_rod, 4);
        check(Member::spring, 5);
    });
    std::cout << "forces by the 6x6: worst " << worst << " of the load\n";
}

TEST_CASE("every member, pickup and bearing by virtual work of differences") {
    const int seeds = test_size("forces by differences, corners of each kind", 3, 40);
    double worst = 0.0;
    for_all(seeds, [&](const Case& c) {
        const Forces f = forces(c.setup, c.solved, c.load_N);
        const MovedContact moved(c);
        const Vec3<double> leaning = {0.0, 0.3, 1.0};  // along no axis of the corner
        const auto check = [&](const std::string& what, double force, double by_work, double lever_mm = 1.0) {
            INFO(what << ": " << force << ", by work " << by_work);
            const double off = std::fabs(force - by_work) / (length(c.load_N) * lever_mm);
            CHECK(off <= 1e-8);
            worst = std::max(worst, off);
        };
        check("track rod", axial(f, Member::track_rod), moved.by_length(Length::track_rod));
        check("spring", axial(f, Member::spring), moved.by_spring());
        if (c.geometry().has_rocker) check("pushrod", axial(f, Member::pushrod), moved.by_length(Length::pushrod));
        if (c.geometry().strut_on != Body::upper_wishbone) {
            check("upper front leg", axial(f, Member::upper_wishbone_front_leg),
                  moved.by_length(Length::upper_wishbone_front_leg));
            check("upper rear leg", axial(f, Member::upper_wishbone_rear_leg),
                  moved.by_length(Length::upper_wishbone_rear_leg));
        }
        if (c.geometry().strut_on != Body::lower_wishbone) {
            check("lower front leg", axial(f, Member::lower_wishbone_front_leg),
                  moved.by_length(Length::lower_wishbone_front_leg));
            check("lower rear leg", axial(f, Member::lower_wishbone_rear_leg),
                  moved.by_length(Length::lower_wishbone_rear_leg));
        }

        const auto check_point = [&](Point p, const Vec3<double>& way) {
            check(std::string(point_names[index(p)]), dot(at_joint(f.on_chassis, p), way), moved.by_points({p}, way));
        };
        for (const Wishbone& w : wishbones) {
            const Vec3<double> axis = c.pickup_axis(w);
            const Vec3<double> out = unit(cross(axis, leaning));
            for (const Point p : {w.front, w.rear}) {
                check_point(p, out);
                check_point(p, cross(axis, out));
            }
            check("along the pickups", along_pickups(f, w), moved.by_points({w.front, w.rear}, axis));
        }
        for (const Vec3<double>& way : {Vec3<double>{1.0, 0.0, 0.0}, {0.0, 1.0, 0.0}, {0.0, 0.0, 1.0}}) {
            check_point(Point::track_rod_inner, way);
            check_point(Point::spring_chassis, way);
            if (c.geometry().has_rocker) check_point(Point::rocker_axis_point, way);
        }
        if (c.geometry().has_rocker) {
            const Vec3<double> one = unit(cross(c.geometry().rocker_axis, leaning));
            for (const Vec3<double>& about : {one, cross(c.geometry().rocker_axis, one)})
                check("rocker's moment", dot(*f.rocker_moment_Nmm, about), moved.by_rocker_turn(about), 250.0);
        }
    });
    std::cout << "forces by differences: worst " << worst << " of the load\n";
}

TEST_CASE("what presses the spring, times the motion ratio, is the vertical load") {
    for_all(10, [](const Case& c) {
        const Outputs<double> out = outputs(c.linkage, c.solved.pose, c.solved.strut, {});
        const Forces f = forces(c.setup, c.solved, {0.0, 0.0, 1000.0});
        CHECK_NEAR(-axial(f, Member::spring) * out[index(Output::motion_ratio)], 1000.0, 1e-8);
    });
}
