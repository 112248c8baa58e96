#include "shimwise/model/moved_points.hpp"

#include <cmath>
#include <random>
#include <set>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/motion/rates.hpp"
#include "size.hpp"

using namespace shimwise;

namespace {

Car moved(const Car& car, Point point, const Vec3<double>& by, Moved as) {
    return with_points_moved(car, {{CornerId::front_left, point, by}}, as);
}

Outputs<double> wheel_at(const Corner& corner, double travel_mm) {
    const Setup s = setup(corner);
    return outputs_at(s, {.what = Held::wheel}, corner.at(Point::wheel_centre).z + travel_mm);
}

}  // namespace

TEST_CASE("drawn: the design moves, and the rods follow") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const Car there = moved(car, Point::track_rod_inner, {0.0, -3.0, 2.0}, Moved::drawn);
    const Corner& corner = there[CornerId::front_left];
    CHECK(corner.at(Point::track_rod_inner).y == car[CornerId::front_left].at(Point::track_rod_inner).y - 3.0);
    // As drawn the wheel stands where it was drawn; away from it, it does not.
    const auto toe = [&](const Car& c, double travel) {
        return wheel_at(c[CornerId::front_left], travel)[index(Output::toe)];
    };
    CHECK_NEAR(toe(there, 0.0), toe(car, 0.0), 1e-10);
    CHECK(std::fabs(toe(there, 20.0) - toe(car, 20.0)) > 0.01);
    CHECK(toe(moved(there, Point::track_rod_inner, {0.0, 3.0, -2.0}, Moved::drawn), 20.0) == toe(car, 20.0));
}

TEST_CASE("built: a part off its drawing is what a shim of that thickness would make of it, rods as they were") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const Vec3<double> by = {0.3, -0.4, 0.5};
    for (std::size_t p = 0; p < point_count; ++p) {
        const auto point = static_cast<Point>(p);
        Car shimmed = car;
        Corner& corner = shimmed[CornerId::front_left];
        if (!corner.has(point) || point == Point::pushrod_outer) continue;  // a shim moves nothing on a wishbone
        Adjuster shim;
        shim.name = "off";
        shim.changes = {{point, by}};
        Stack one_mm;
        one_mm.fitted_mm = {1.0};
        shim.setting = one_mm;
        corner.adjusters.push_back(shim);
        const Car built = moved(car, point, by, Moved::built);
        CHECK(built[CornerId::front_left].at(point).x == car[CornerId::front_left].at(point).x);
        for (const double travel : {-15.0, 0.0, 20.0}) {
            const Outputs<double> a = wheel_at(built[CornerId::front_left], travel), b = wheel_at(corner, travel);
            for (std::size_t o = 0; o < output_count; ++o) {
                INFO(point_names[p] << ", " << output_list[o].name << " at " << travel);
                CHECK_NEAR(a[o], b[o], 1e-9);
            }
        }
    }
}

TEST_CASE("built: a pushrod joint off its place on the wishbone keeps its place there, and the rod its length") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const Vec3<double> by = {0.5, -1.0, 2.0};
    const Corner built = moved(car, Point::pushrod_outer, by, Moved::built)[CornerId::front_left];
    const Setup s = setup(built);
    const Parts<double> parts = s.parts();
    const Linkage<double> l = linkage(s.geometry, parts);
    for (const double travel : {-15.0, 0.0, 20.0}) {
        const double height = built.at(Point::wheel_centre).z + travel;
        const Solved solved = solve_or_throw(s, l, {.what = Held::wheel}, height);
        const auto at = joints(parts, l, solved.pose, solved.strut);
        const auto apart = [&](Point a, Point b) { return std::sqrt(squared(at[index(a)] - at[index(b)])); };
        const auto drawn = [&](Point a, const Vec3<double>& off, Point b) {
            return std::sqrt(squared(built.at(a) + off - built.at(b)));
        };
        CHECK_NEAR(apart(Point::pushrod_outer, Point::pushrod_inner),
                   drawn(Point::pushrod_outer, {}, Point::pushrod_inner), 1e-9);
        for (const Point p : {Point::lower_wishbone_front, Point::lower_wishbone_rear, Point::lower_wishbone_outer})
            CHECK_NEAR(apart(Point::pushrod_outer, p), drawn(Point::pushrod_outer, by, p), 1e-9);
    }
}

TEST_CASE("a point that is not there, a number that is none and a drawing that cannot be are refused") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const auto sentence = [&](Point point, const Vec3<double>& by, Moved as) -> std::string {
        try {
            moved(car, point, by, as);
        } catch (const InputError& error) {
            const std::string what = error.what();
            return what.substr(what.find("front_left"));
        }
        return "";
    };
    CHECK(sentence(Point::spring_outer, {}, Moved::drawn) == "front_left.spring.outer: is no point of this corner");
    CHECK(sentence(Point::wheel_centre, {0.0, std::nan(""), 0.0}, Moved::built) ==
          "front_left.wheel.centre: is moved by a number that is not finite");
    const auto by_key = [&](const std::string& key) -> std::string {
        try {
            with_points_moved(car, {{key, {0.0, 0.0, 1.0}}}, Moved::drawn);
        } catch (const InputError& error) {
            const std::string what = error.what();
            return what.substr(what.find(key));
        }
        return "";
    };
    CHECK(by_key("front_left.track_rod.iner") ==
          "front_left.track_rod.iner: names no point; did you mean \"track_rod.inner\"?");
    CHECK(by_key("front_leftt.track_rod.inner") ==
          "front_leftt.track_rod.inner: names no corner: needs corner.point; did you mean \"front_left\"?");
    CHECK(sentence(Point::upper_wishbone_front, {-400.0, 0.0, 0.0}, Moved::drawn) ==
          "front_left.upper_wishbone: front must lie ahead of rear (x forward)");
}

TEST_CASE("what moved points can cause is all that the whole check finds of them") {
    Car car = load_car(testing::demo_path("wren.toml"));
    Adjuster& track_rod = car[CornerId::front_left].adjusters[*car[CornerId::front_left].find("track rod")];
    std::get<Thread>(track_rod.setting).length_limits_mm = {340.0, 380.0};
    REQUIRE(check(car).empty());
    std::mt19937_64 random(16);
    const int cases = test_size("drawings with moved points, checked", 500, 20'000);
    std::set<std::string> rules;
    for (int i = 0; i < cases; ++i) {
        Car there = car;
        std::array<bool, corner_count> corners{};
        for (std::size_t c = 0; c < corner_count; ++c) {
            if (random() % 2 == 0) continue;
            corners[c] = true;
            const double most = random() % 2 == 0 ? 30.0 : 1000.0;
            for (auto& point : there.corners[c].points) {
                if (!point || random() % 8 != 0) continue;
                for (double* at : {&point->x, &point->y, &point->z})
                    *at += most * (2.0 * static_cast<double>(random() >> 11) * 0x1p-53 - 1.0);
            }
        }
        std::set<std::string> all, of_points;
        for (const Problem& problem : check(there)) all.insert(problem.field + " " + problem.rule);
        for (const Problem& problem : check_points(there, corners))
            of_points.insert(problem.field + " " + problem.rule);
        REQUIRE(of_points == all);
        for (const std::string& found : all) rules.insert(found.substr(0, found.find(' ')));
    }
    CHECK(rules.size() > 20);
    CHECK(rules.contains("front_left.adjuster"));
}
