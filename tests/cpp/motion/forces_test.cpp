// Forces by laws that the solver does not use: each body's balance assembled here from the result alone, virtual work
// by the 6x6 and by differences of poses, closed forms.
#include "shimwise/motion/forces.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <optional>

#include "catch.hpp"
#include "motion/balance.hpp"
#include "motion/corners.hpp"
#include "motion/rigid_motion.hpp"
#include "shimwise/error.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

using Joints = std::array<Vec3<double>, point_count>;

struct Wishbone {
    Body body;
    Point front, rear, outer;
    Member front_leg, rear_leg;
};
constexpr std::array<Wishbone, 2> wishbones = {
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
        const double drawn_mm = setup.geometry.points[index(Point::wheel_centre)].z;
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

double axial(const Forces& f, Member m) {
    REQUIRE(f.axial_N[index(m)].has_value());
    return *f.axial_N[index(m)];
}

double along_pickups(const Forces& f, const Wishbone& w) {
    return w.body == Body::upper_wishbone ? f.along_upper_pickups_N : f.along_lower_pickups_N;
}

Vec3<double> pull(const Case& c, Point on, Point toward, double tension) { return unit(c[toward] - c[on]) * tension; }

/// What pushrod or spring does to the body that carries it.
Vec3<double> strut_force(const Case& c, const Forces& f) {
    const bool rocker = c.geometry().has_rocker;
    return pull(c, c.strut_point(), rocker ? Point::pushrod_inner : Point::spring_chassis,
                axial(f, rocker ? Member::pushrod : Member::spring));
}

double upright_left_over(const Case& c, const Forces& f) {
    Balance b;
    b.add(contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}), c.load_N);
    for (const JointForce& j : f.on_upright) b.add(c[j.point], j.force_N);
    return b.left_over();
}

double wishbone_left_over(const Case& c, const Forces& f, const Wishbone& w) {
    Balance b;
    b.add(c[w.outer], -at_joint(f.on_upright, w.outer));
    if (c.geometry().strut_on == w.body) b.add(c[c.strut_point()], strut_force(c, f));
    b.add(c[w.front], -at_joint(f.on_chassis, w.front));
    b.add(c[w.rear], -at_joint(f.on_chassis, w.rear));
    b.add(c[w.rear], c.pickup_axis(w) * -along_pickups(f, w));  // anywhere on the axis
    return b.left_over();
}

double rocker_left_over(const Case& c, const Forces& f) {
    Balance b;
    b.add(c[Point::pushrod_inner], pull(c, Point::pushrod_inner, Point::pushrod_outer, axial(f, Member::pushrod)));
    b.add(c[Point::rocker_spring], pull(c, Point::rocker_spring, Point::spring_chassis, axial(f, Member::spring)));
    b.add(c[Point::rocker_axis_point], -at_joint(f.on_chassis, Point::rocker_axis_point));
    b.add_moment(-*f.rocker_moment_Nmm);
    return b.left_over();
}

/// The chassis gets the whole load, wherever it goes.
double corner_left_over(const Case& c, const Forces& f) {
    Balance b;
    b.add(contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}), c.load_N);
    for (const JointForce& j : f.on_chassis) b.add(c[j.point], -j.force_N);
    for (const Wishbone& w : wishbones) b.add(c[w.front], c.pickup_axis(w) * -along_pickups(f, w));
    if (f.rocker_moment_Nmm) b.add_moment(-*f.rocker_moment_Nmm);
    return b.left_over();
}

double largest(const Forces& f) {
    double most = 0.0;
    for (const auto* list : {&f.on_upright, &f.on_chassis})
        for (const JointForce& j : *list) most = std::max(most, length(j.force_N));
    return most;
}

/// Everything of a result in one order; what is not there is 0.
std::vector<double> numbers(const Forces& f) {
    std::vector<double> all;
    const auto add = [&all](const Vec3<double>& v) { all.insert(all.end(), {v.x, v.y, v.z}); };
    for (const auto& n : f.axial_N) all.push_back(n.value_or(0.0));
    for (const auto* list : {&f.on_upright, &f.on_chassis})
        for (const JointForce& j : *list) add(j.force_N);
    all.insert(all.end(), {f.along_upper_pickups_N, f.along_lower_pickups_N});
    add(f.rocker_moment_Nmm.value_or(Vec3<double>{}));
    return all;
}

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
            const Solved moved = solve(linked(s), {.what = Held::spring}, spring_mm, case_.solved.arm);
            REQUIRE(moved.status == Status::ok);
            return dot(case_.load_N, place_of(moved.pose));
        };
        return (8.0 * (at(h) - at(-h)) - (at(2.0 * h) - at(-2.0 * h))) / (12.0 * h);
    }
    double by_length(Length l) const {
        return work([l](Setup& s, double&, double more) { s.geometry.lengths[index(l)] += more; });
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
                const Vec3<double> base = s.geometry.points[index(Point::rocker_axis_point)];
                const RigidMotion turn = {axis, more, {}};
                s.geometry.rocker_axis = turn.turn(s.geometry.rocker_axis);
                for (const Point p : {Point::pushrod_inner, Point::rocker_spring, Point::rocker_drop_link}) {
                    Vec3<double>& at = s.geometry.points[index(p)];
                    at = base + turn.turn(at - base);
                }
            },
            1e-3);
    }

private:
    static std::array<Vec3<double>, 3> axes(const Pose<double>& p) {
        const Vec3<double> arm = unit(p.steering_arm);
        return {p.steering_axis, arm, cross(p.steering_axis, arm)};
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

void check_near(const Vec3<double>& actual, const Vec3<double>& expected, double margin) {
    CHECK_NEAR(actual.x, expected.x, margin);
    CHECK_NEAR(actual.y, expected.y, margin);
    CHECK_NEAR(actual.z, expected.z, margin);
}

std::string refusal(const Setup& s, const Solved& solved) {
    try {
        forces(s, solved, {0.0, 0.0, 1000.0});
    } catch (const OutOfReach& failure) {
        return failure.what();
    }
    return "";
}

}  // namespace

TEST_CASE("upright, wishbones, rocker and the whole corner are in balance") {
    const int seeds = test_size("balance of forces, corners of each kind", 20, 400);
    double worst = 0.0;
    for_all(seeds, [&](const Case& c) {
        const Forces f = forces(c.setup, c.solved, c.load_N);
        const double load = length(c.load_N);
        std::vector<double> left = {upright_left_over(c, f), corner_left_over(c, f)};
        for (const Wishbone& w : wishbones) left.push_back(wishbone_left_over(c, f, w));
        if (c.geometry().has_rocker) left.push_back(rocker_left_over(c, f));
        for (const double body : left) {
            CHECK(body <= 1e-9 * load);
            worst = std::max(worst, body / load);
        }
        CHECK(f.out_of_balance_N <= tolerances::balance * load);
        CHECK(f.on_upright.size() == (c.geometry().strut_on == Body::upright ? 4u : 3u));
        CHECK(f.on_chassis.size() == (c.geometry().has_rocker ? 7u : 6u));
    });
    std::cout << "balance of each body: worst " << worst << " of the load\n";
}

TEST_CASE("every force has the direction that its joint can carry") {
    for_all(10, [](const Case& c) {
        const Forces f = forces(c.setup, c.solved, c.load_N);
        const double small = 1e-9 * length(c.load_N);
        for (const Wishbone& w : wishbones) {
            for (const Point p : {w.front, w.rear})
                CHECK_NEAR(dot(at_joint(f.on_chassis, p), c.pickup_axis(w)), 0.0, small);
            REQUIRE(f.axial_N[index(w.front_leg)].has_value() == (c.geometry().strut_on != w.body));
            REQUIRE(f.axial_N[index(w.rear_leg)].has_value() == (c.geometry().strut_on != w.body));
            if (c.geometry().strut_on == w.body) continue;
            check_near(
                pull(c, w.outer, w.front, axial(f, w.front_leg)) + pull(c, w.outer, w.rear, axial(f, w.rear_leg)),
                at_joint(f.on_upright, w.outer), small);
        }
        check_near(pull(c, Point::track_rod_outer, Point::track_rod_inner, axial(f, Member::track_rod)),
                   at_joint(f.on_upright, Point::track_rod_outer), small);
        check_near(pull(c, Point::track_rod_inner, Point::track_rod_outer, axial(f, Member::track_rod)),
                   at_joint(f.on_chassis, Point::track_rod_inner), small);
        check_near(pull(c, Point::spring_chassis, c.spring_eye(), axial(f, Member::spring)),
                   at_joint(f.on_chassis, Point::spring_chassis), small);
        if (c.geometry().strut_on == Body::upright)
            check_near(strut_force(c, f), at_joint(f.on_upright, c.strut_point()), small);
        CHECK(f.axial_N[index(Member::pushrod)].has_value() == c.geometry().has_rocker);
        REQUIRE(f.rocker_moment_Nmm.has_value() == c.geometry().has_rocker);
        if (f.rocker_moment_Nmm) CHECK_NEAR(dot(*f.rocker_moment_Nmm, c.geometry().rocker_axis), 0.0, small * 250.0);
        check_near(f.contact_mm, contact(c.linkage, c.solved.pose, {0.0, 0.0, 1.0}), 0.0);
        check_near(f.load_N, c.load_N, 0.0);
    });
}

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
        const auto check = [&](const std::string& what, double force, double by_work, double arm_mm = 1.0) {
            INFO(what << ": " << force << ", by work " << by_work);
            const double off = std::fabs(force - by_work) / (length(c.load_N) * arm_mm);
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

TEST_CASE("forces on the left and on the right are mirror images") {
    for (int seed = 0; seed < 20; ++seed)
        for (const Kind& kind : kinds()) {
            if (!kind.left) continue;
            const Case left(kind, seed);
            const Case right({kind.strut_on, kind.rocker, false}, seed);
            INFO(left.name());
            const Forces l = forces(left.setup, left.solved, left.load_N);
            const Forces r = forces(right.setup, right.solved, mirrored(left.load_N));
            const double small = 1e-10 * length(left.load_N);
            for (std::size_t m = 0; m < member_count; ++m)
                CHECK_NEAR(l.axial_N[m].value_or(0.0), r.axial_N[m].value_or(0.0), small);
            for (const auto list : {&Forces::on_upright, &Forces::on_chassis}) {
                REQUIRE((l.*list).size() == (r.*list).size());
                for (const JointForce& j : l.*list) check_near(mirrored(j.force_N), at_joint(r.*list, j.point), small);
            }
            CHECK_NEAR(l.along_upper_pickups_N, r.along_upper_pickups_N, small);
            CHECK_NEAR(l.along_lower_pickups_N, r.along_lower_pickups_N, small);
            if (kind.rocker)  // a moment's mirror image: the other two components turn
                check_near(-mirrored(*l.rocker_moment_Nmm), *r.rocker_moment_Nmm, small * 250.0);
        }
}

TEST_CASE("forces add up with their loads, and without a load there is none") {
    for_all(10, [](const Case& c) {
        const Vec3<double> other = Random("other load", c.seed).point_within(3000.0);
        const auto a = numbers(forces(c.setup, c.solved, c.load_N)), b = numbers(forces(c.setup, c.solved, other));
        const auto both = numbers(forces(c.setup, c.solved, c.load_N * 2.0 - other * 0.5));
        REQUIRE(a.size() == both.size());
        double most = 0.0;
        for (std::size_t i = 0; i < a.size(); ++i) {
            CHECK_NEAR(both[i], 2.0 * a[i] - 0.5 * b[i], 1e-8);
            most = std::max(most, std::fabs(both[i]));
        }
        CHECK(most > 100.0);
        for (const double nothing : numbers(forces(c.setup, c.solved, {}))) CHECK(nothing == 0.0);
    });
}

// DERIVED: the three moments about the lower joint, then each wishbone by itself; by hand.
TEST_CASE("level wishbones with a standing spring have the closed form") {
    const Corner c = level_corner(false);
    const double x = 300.0, y = -700.0, z = 1100.0;
    const Forces f = forces(c, {x, y, z});
    const double small = 1e-9;
    check_near(f.contact_mm, {0.0, 640.0, 0.0}, 1e-10);
    CHECK_NEAR(axial(f, Member::track_rod), -x / 2.0, small);
    CHECK_NEAR(axial(f, Member::spring), -2.0 * z, small);
    CHECK_FALSE(f.axial_N[index(Member::pushrod)].has_value());

    const double upper_x = 0.75 * x, upper_y = 0.2 * z + 0.75 * y - 0.125 * x;
    const double lower_x = -1.75 * x, lower_y = -0.2 * z - 1.75 * y - 0.375 * x;
    check_near(at_joint(f.on_upright, Point::upper_wishbone_outer), {upper_x, upper_y, 0.0}, small);
    check_near(at_joint(f.on_upright, Point::lower_wishbone_outer), {lower_x, lower_y, -z}, small);
    const double leg_mm = std::sqrt(100.0 * 100.0 + 400.0 * 400.0);
    CHECK_NEAR(axial(f, Member::upper_wishbone_front_leg), leg_mm / 2.0 * (upper_x / 100.0 - upper_y / 400.0), small);
    CHECK_NEAR(axial(f, Member::upper_wishbone_rear_leg), leg_mm / 2.0 * (-upper_x / 100.0 - upper_y / 400.0), small);

    const double half_turning = 2.0 * lower_x;  // 400 mm of arm over 200 mm of pickups
    check_near(at_joint(f.on_chassis, Point::lower_wishbone_front), {0.0, -lower_y / 2.0 + half_turning, -z / 2.0},
               small);
    check_near(at_joint(f.on_chassis, Point::lower_wishbone_rear), {0.0, -lower_y / 2.0 - half_turning, -z / 2.0},
               small);
    CHECK_NEAR(f.along_lower_pickups_N, -lower_x, small);
    CHECK_NEAR(f.along_upper_pickups_N, -upper_x, small);
    check_near(at_joint(f.on_chassis, Point::spring_chassis), {0.0, 0.0, 2.0 * z}, small);
    CHECK_FALSE(f.rocker_moment_Nmm.has_value());
}

// DERIVED: levers by hand.
TEST_CASE("a right-angled rocker has the closed form") {
    const double z = 900.0;
    const Forces f = forces(level_corner(true), {0.0, 0.0, z});
    const double small = 1e-9;
    CHECK_NEAR(axial(f, Member::pushrod), -4.0 / 3.0 * z, small);               // 400 mm over 300 mm
    CHECK_NEAR(axial(f, Member::spring), -4.0 / 3.0 * 50.0 / 60.0 * z, small);  // 50 mm over 60 mm
    check_near(at_joint(f.on_chassis, Point::rocker_axis_point), {0.0, 10.0 / 9.0 * z, 4.0 / 3.0 * z}, small);
    check_near(*f.rocker_moment_Nmm, {0.0, 0.0, 20.0 * 10.0 / 9.0 * z}, small * 100.0);
    check_near(at_joint(f.on_chassis, Point::lower_wishbone_front), {0.0, 0.1 * z, -z / 6.0}, small);
}

TEST_CASE("a linkage at its toggle is refused with a sentence, and next to it the forces balance") {
    SECTION("the spring points at the rocker's axis") {
        Corner c = level_corner(true);
        const auto at_lever = [&](double lever_mm) {
            c.points[index(Point::spring_chassis)] = {20.0, 450.0 + lever_mm * 5.0, 210.0};  // 300 mm under the eye
            const Setup s = setup(c);
            return refusal(s, solve(linked(s), {.what = Held::wheel}, 250.0));
        };
        for (const double lever_mm : {0.0, 1e-3})
            CHECK(at_lever(lever_mm) ==
                  "the linkage is at its toggle: a load makes more than 10000 times as much in the spring");
        CHECK(at_lever(1.0).empty());
    }
    SECTION("the spring points at the lower wishbone's pickups") {
        Corner c = level_corner(false);
        c.points[index(Point::spring_chassis)] = {0.0, 100.0, 150.0 + 1e-6};
        const Setup s = setup(c);
        const Solved solved = solve(linked(s), {.what = Held::wheel}, 250.0);
        CHECK(refusal(s, solved).find("in the spring") != std::string::npos);
    }
    SECTION("the track rod points at the steering axis") {
        Corner c = level_corner(false);
        c.points[index(Point::track_rod_outer)] = {1e-6, 550.0, 200.0};
        c.points[index(Point::track_rod_inner)] = {0.0, 200.0, 200.0};
        const Setup s = setup(c);
        const Solved solved = solve(linked(s), {.what = Held::wheel}, 250.0);
        REQUIRE(solved.status == Status::ok);
        CHECK(refusal(s, solved).find("toggle") != std::string::npos);
        CHECK(refusal(s, solved).find("in the track rod") != std::string::npos);
    }
    SECTION("to the ends of reach") {
        int given = 0, refused = 0;
        for_all(4, [&](const Case& c) {
            const Solved beyond = solve(c.linkage, {.what = Held::wheel}, 1e6);
            for (const double end : {beyond.lowest, beyond.highest})
                for (double off_mm = 1.0; off_mm > 1e-10; off_mm *= 0.1) {
                    const double inward = end == beyond.lowest ? off_mm : -off_mm;
                    const Solved solved = solve(c.linkage, {.what = Held::wheel}, end + inward);
                    if (solved.status != Status::ok) continue;
                    const std::string sentence = refusal(c.setup, solved);
                    if (!sentence.empty()) {
                        CHECK(sentence.find("toggle") != std::string::npos);
                        ++refused;
                        continue;
                    }
                    const Forces f = forces(c.setup, solved, c.load_N);
                    CHECK(f.out_of_balance_N <= 1e-9 * length(c.load_N));
                    CHECK(largest(f) <= 1e5 * length(c.load_N));
                    ++given;
                }
        });
        CHECK(given > 100);
        CHECK(refused > 10);
        std::cout << "near the ends of reach: " << given << " states with forces, " << refused << " refused\n";
    }
}

TEST_CASE("forces of a corner by travel and rack are those of its solved state") {
    const Corner c = corner({}, 3);
    const Setup s = setup(c, 5.0);
    const double height_mm = c.at(Point::wheel_centre).z - 12.0;
    const Vec3<double> load_N = {100.0, 200.0, 1500.0};
    CHECK(numbers(forces(c, load_N, -12.0, 5.0)) ==
          numbers(forces(s, solve(linked(s), {.what = Held::wheel}, height_mm), load_N)));
    try {
        forces(c, load_N, 400.0);
        FAIL("no such travel");
    } catch (const OutOfReach& failure) {
        CHECK(std::string(failure.what()).find("front_left: the held wheel travel is out of reach by") == 0);
    }
}

TEST_CASE("a load that is no number gives no forces") {
    CHECK_THROWS_AS(forces(corner({}), {std::nan(""), 0.0, 1.0}), OutOfReach);
}
