#include "shimwise/motion/position.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "shimwise/error.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

/// A corner with one more adjuster: the upright grows along the line between its outer joints.
Setup with_upright_length(const Kind& kind, double amount_mm) {
    Corner c = corner(kind);
    const Vec3<double> along = unit(c.at(Point::upper_wishbone_outer) - c.at(Point::lower_wishbone_outer));
    add(c, "upright", {{Point::upper_wishbone_outer, along}});
    Setup s = setup(c);
    s.amounts_mm.back() = amount_mm;
    return s;
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a value out of reach is refused with exactly the range and the amount") {
    const int seeds = test_size("ends of reach, corners of each kind", 2, 20);
    double worst = 0.0;
    int turns_back = 0, opens = 0;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds())
            for (const Held held : holds()) {
                INFO(kind.name() << ", seed " << seed << ", " << held_names[index(held)]);
                const Setup s = turned(kind, seed);
                const Linkage<double> l = linked(s);
                const Hold hold = {.what = held};
                const Solved above = solve(l, hold, 1e5), below = solve(l, hold, -1e5);
                REQUIRE(above.status == Status::out_of_reach);
                REQUIRE(below.status == Status::out_of_reach);
                CHECK(above.lowest == below.lowest);
                CHECK(above.highest == below.highest);
                CHECK_NEAR(above.short_by_mm, 1e5 - above.highest, 1e-9);
                CHECK_NEAR(below.short_by_mm, below.lowest + 1e5, 1e-9);
                for (const Solved* end : {&above, &below}) ++(end->limit == Status::ok ? turns_back : opens);

                // Walking there from the drawn position, in steps that are halved where they leave, ends at the same
                // place.
                for (const double way : {1.0, -1.0}) {
                    const HeldValue<double> drawn = held_value(l, pose(l, 0.0), hold);
                    double angle = 0.0, last = drawn.value;
                    for (double step = way * 1e-3; std::fabs(step) > 1e-14;) {
                        const HeldValue<double> h = held_value(l, pose(l, std::tan(0.5 * (angle + step))), hold);
                        if (h.room > 0.0 && h.slope * drawn.slope > 0.0) {
                            angle += step;
                            last = h.value;
                        } else {
                            step *= 0.5;
                        }
                    }
                    CHECK_NEAR(last, drawn.slope * way > 0.0 ? above.highest : above.lowest, 1e-4);
                }

                for (const double past : {1e-6, 0.25, 7.0}) {
                    const Solved too_high = solve(l, hold, above.highest + past);
                    const Solved too_low = solve(l, hold, above.lowest - past);
                    REQUIRE(too_high.status == Status::out_of_reach);
                    REQUIRE(too_low.status == Status::out_of_reach);
                    CHECK_NEAR(too_high.short_by_mm, past, 1e-9);
                    CHECK_NEAR(too_low.short_by_mm, past, 1e-9);
                    worst = std::max(
                        {worst, std::fabs(too_high.short_by_mm - past), std::fabs(too_low.short_by_mm - past)});
                    char amount[48] = "at the very end of its range";
                    if (past > 1e-3) std::snprintf(amount, sizeof amount, "out of reach by %.3f mm", past);
                    CHECK(says(in_words(too_high, l, hold), amount));
                    CHECK_THROWS_AS(outputs_at(s, hold, above.highest + past), OutOfReach);
                }
                const auto reached = [&](double value) {
                    const Status status = solve(l, hold, value).status;
                    return status == Status::ok || (held != Held::spring && status == Status::pushrod_open);
                };
                CHECK(reached(above.highest - 1e-5));
                CHECK(reached(above.lowest + 1e-5));
            }
    CHECK(turns_back > 0);
    CHECK(opens > 0);
    std::cout << "ends of reach: amounts to " << worst << " mm; " << opens << " where a loop opens, " << turns_back
              << " where the value turns back\n";
}

TEST_CASE("a loop that does not close names its link, and the amount closes it") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const auto refused = [&](const Setup& s, const Hold& hold, Status status) {
            const Solved solved = solve(linked(s), hold, 225.0);
            CHECK(solved.status == status);
            return std::pair(solved, in_words(solved, linked(s), hold));
        };
        for (const double off : {-200.0, 230.0}) {
            const auto [solved, words] = refused(with(kind, "track rod", off), {}, Status::track_rod_open);
            CHECK(solved.short_by_mm * off < 0.0);
            CHECK(says(words, off < 0.0 ? "too short" : "too long"));
            const auto room = [&](double share) {
                return pose(linked(with(kind, "track rod", off + solved.short_by_mm * share)), 0.0).track_rod_room;
            };
            CHECK(room(1.0 - 1e-6) < 0.0);
            CHECK(room(1.0 + 1e-6) > 0.0);
        }
        for (const double off : {700.0, 900.0}) {
            const Solved solved = refused(with_upright_length(kind, off), {}, Status::upper_wishbone_open).first;
            CHECK(solved.short_by_mm * off < 0.0);
            const auto room = [&](double share) {
                return pose(linked(with_upright_length(kind, off + solved.short_by_mm * share)), 0.0).upper_room;
            };
            CHECK(room(1.0 - 1e-6) < 0.0);
            CHECK(room(1.0 + 1e-6) > 0.0);
        }
        if (!kind.rocker) continue;
        for (const Held held : {Held::wheel, Held::contact, Held::spring})
            for (const double off : {-300.0, 600.0}) {
                // A short pushrod reaches again once the lower wishbone has come up to the rocker.
                if (held == Held::spring && off < 0.0) continue;
                const Setup s = with(kind, "pushrod", off);
                const Hold hold = {.what = held};
                const double value = held == Held::contact ? -20.0 : 225.0;
                const Solved solved = solve(linked(s), hold, value);
                INFO(held_names[index(held)] << ", off by " << off << ": " << in_words(solved, linked(s), hold));
                REQUIRE(solved.status == Status::pushrod_open);
                CHECK(solved.short_by_mm * off < 0.0);
                const auto room = [&](double share) {
                    const Setup longer = with(kind, "pushrod", off + solved.short_by_mm * share);
                    const Linkage<double> l = linked(longer);  // reads the geometry of `longer`
                    return strut(l, pose(l, solved.half_tan)).room;
                };
                CHECK(room(1.0 - 1e-6) < 0.0);
                CHECK(room(1.0 + 1e-6) > 0.0);
            }
    }
}

TEST_CASE("a contact height in the jump between edge and middle is held to the jump") {
    for (const Kind& kind : kinds()) {
        const Setup s = upright_corner(kind);
        const Linkage<double> l = linked(s);
        int in_jump = 0;
        for (const double lean : {-tolerances::upright_deg, tolerances::upright_deg})
            for (int i = -100; i <= 100; ++i) {
                const double value = jump_height(s, lean) + i * 5e-5;
                INFO(kind.name() << ", contact at " << value);
                const Solved solved = solve(l, {}, value);
                REQUIRE(solved.status == Status::ok);
                const double off = std::fabs(held_alone(l, solved.pose, solved.strut, {}) - value);
                CHECK(off <= 5.0 * tolerances::upright_sine + 1e-9);
                in_jump += off > tolerances::held_mm;
            }
        // Half the disc's width times the sine is 1.7e-3 mm: 35 of these heights exist on neither side.
        CHECK(in_jump >= 30);
        CHECK(in_jump <= 40);
    }
}
