#include "shimwise/workshop/measure/wear.hpp"

#include <cmath>
#include <random>

#include "binomial_band.hpp"
#include "catch.hpp"
#include "demo_path.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

/// Thicknesses at one point; all invented.
Skid worn(const std::vector<double>& km, const std::vector<double>& mm, double gauge_mm = 0.05) {
    Skid skid;
    skid.file = "skid.toml";
    skid.gauge_uncertainty_mm = gauge_mm;
    skid.points = {{"nose", {-250.0, 0.0, -5.0}}};
    for (std::size_t i = 0; i < km.size(); ++i) skid.checks.push_back({km[i], false, {{"nose", mm[i]}}, {}});
    return skid;
}

const PointWear& nose(const Wear& found) { return found.points.at(0); }

const Outlook& line_of(const Wear& found) {
    REQUIRE(nose(found).outlook);
    return *nose(found).outlook;
}

bool holds(const Estimate& estimate, double truth) { return estimate.low <= truth && truth <= estimate.high; }

bool holds(const Reached& reached, double truth) {
    return (!reached.low || *reached.low <= truth) && (!reached.high || truth <= *reached.high);
}

std::string refusal(const Skid& skid, const WearAsked& asked = {}) {
    try {
        wear(skid, asked);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

/// Wears as they could have been: new 25 mm, 0.8 mm in 100 km, a check every 70 km.
struct Simulated {
    int checks = 3;
    double gauge_mm = 0.05, scatter_mm = 0.05;  // of one reading, what the file says and what is true
    double uneven = 0.0;                        // share by which the rate of one run differs from that of another
    int cases = 1000;

    struct Count {
        int rate = 0, next = 0, left = 0, low_tenth = 0;
    };
    Count covered(unsigned seed) const {
        constexpr double rate = 0.008, run_km = 70.0, next_km = 90.0;
        std::mt19937_64 draw(seed);
        std::normal_distribution<double> normal;
        Count count;
        WearAsked asked;
        asked.next_km = next_km;
        asked.gauge_alone = checks == 2;
        for (int i = 0; i < cases; ++i) {
            std::vector<double> km, mm;
            double mean = 25.0;
            for (int j = 0; j < checks; ++j) {
                km.push_back(run_km * j);
                if (j > 0) mean -= run_km * rate * (1.0 + uneven * normal(draw));
                mm.push_back(mean + scatter_mm * normal(draw));
            }
            const Wear found = wear(worn(km, mm, gauge_mm), asked);
            const Outlook& seen = line_of(found);
            const double then = mean - next_km * rate * (1.0 + uneven * normal(draw)) + scatter_mm * normal(draw);
            count.rate += holds(seen.wear_mm_per_100_km, 100.0 * rate);
            count.next += holds(seen.after_next_mm, then);
            count.left += holds(seen.left_km, (mean - 20.0) / rate);
            const double off = (then - seen.after_next_mm.value) / seen.after_next_mm.u;
            count.low_tenth += nose(found).scatter.below(off) < 0.1;
        }
        return count;
    }
};

}  // namespace

TEST_CASE("simulated wears: intervals cover as often as they say, by what the checks show and by the gauge alone") {
    const int cases = test_size("simulated wears", 1000, 1000);
    for (const Simulated& wears : {Simulated{3, 0.02, 0.2}, Simulated{4, 0.02, 0.2}, Simulated{6, 0.02, 0.2},
                                   Simulated{12, 0.02, 0.2}, Simulated{2, 0.05, 0.05}}) {
        Simulated drawn = wears;
        drawn.cases = cases;
        const auto count = drawn.covered(31);
        INFO(wears.checks << " checks, of " << cases << ": rate " << count.rate << ", next " << count.next << ", left "
                          << count.left << ", lowest tenth " << count.low_tenth);
        CHECK(in_binomial_band(count.rate, cases, 0.95));
        CHECK(in_binomial_band(count.next, cases, 0.95));
        CHECK(in_binomial_band(count.left, cases, 0.95));
        CHECK(in_binomial_band(count.low_tenth, cases, 0.1));
    }
}

// Where the gauge is all that scatters, the wider of two intervals covers more often than it says, never less.
TEST_CASE("simulated wears of nothing but the gauge: no interval covers less often than it says") {
    const int cases = test_size("simulated wears by the gauge", 1000, 1000);
    for (const int checks : {3, 5, 12}) {
        const auto count = Simulated{checks, 0.05, 0.05, 0.0, cases}.covered(32);
        INFO(checks << " checks, of " << cases << ": rate " << count.rate << ", next " << count.next << ", left "
                    << count.left);
        for (const int covered : {count.rate, count.next, count.left})
            CHECK((covered > 0.95 * cases || in_binomial_band(covered, cases, 0.95)));
    }
}

// What docs/method.md says of runs that wear at rates of their own: what one wears more stays worn, and readings after
// it do not scatter about one line.
TEST_CASE("simulated wears whose runs differ: what the line is worth") {
    const int cases = test_size("simulated uneven wears", 1000, 1000);
    const auto count = Simulated{6, 0.05, 0.05, 0.25, cases}.covered(33);
    INFO("of " << cases << ": rate " << count.rate << ", next " << count.next << ", left " << count.left);
    CHECK_NEAR(count.rate, 0.68 * cases, 0.06 * cases);
    CHECK_NEAR(count.next, 0.88 * cases, 0.06 * cases);
    CHECK_NEAR(count.left, 0.84 * cases, 0.06 * cases);
}

TEST_CASE("simulated wears at two ride heights: the rate at one, its slope, and the height that lasts are covered") {
    const int cases = test_size("simulated wears by ride height", 1000, 1000);
    constexpr double rate = 0.008, less = 0.0015, scatter_mm = 0.1;  // at 30 mm, per mm higher
    const std::vector<double> heights = {30.0, 30.0, 32.0, 28.0, 31.0, 29.0, 30.0};
    std::mt19937_64 draw(34);
    std::normal_distribution<double> normal(0.0, scatter_mm);
    WearAsked asked;
    asked.next_km = 80.0;
    asked.lasts_km = 300.0;
    int at_now = 0, slope = 0, next = 0, left = 0, height = 0;
    for (int i = 0; i < cases; ++i) {
        std::vector<double> km, mm;
        double mean = 25.0;
        for (std::size_t j = 0; j < heights.size(); ++j) {
            km.push_back(60.0 * static_cast<double>(j));
            if (j > 0) mean -= 60.0 * (rate - less * (heights[j - 1] - 30.0));
            mm.push_back(mean + normal(draw));
        }
        Skid skid = worn(km, mm, 0.01);
        for (std::size_t j = 0; j < heights.size(); ++j) skid.checks[j].ride_height_mm["front_left"] = heights[j];
        const Wear found = wear(skid, asked);
        REQUIRE(nose(found).by_height.size() == 1);
        const WearByHeight& by = nose(found).by_height[0];
        REQUIRE(by.lasts_mm);
        at_now += holds(by.outlook.wear_mm_per_100_km, 100.0 * rate);
        slope += holds(by.less_mm_per_100_km, 100.0 * less);
        next += holds(by.outlook.after_next_mm, mean - 80.0 * rate + normal(draw));
        left += holds(by.outlook.left_km, (mean - 20.0) / rate);
        height += holds(*by.lasts_mm, 30.0 + (rate - (mean - 20.0) / 300.0) / less);
    }
    INFO("of " << cases << ": rate " << at_now << ", slope " << slope << ", next " << next << ", left " << left
               << ", height " << height);
    for (const int covered : {at_now, slope, next, left, height}) CHECK(in_binomial_band(covered, cases, 0.95));
}

TEST_CASE("two checks and the gauge alone: differences and nothing else, by hand") {
    WearAsked asked;
    asked.next_km = 50.0;
    asked.gauge_alone = true;
    const Wear found = wear(worn({20.0, 120.0}, {25.0, 24.0}), asked);
    const Outlook& seen = line_of(found);
    CHECK(nose(found).scatter.degrees == 0);
    CHECK(nose(found).scatter.standard == 0.05);
    CHECK(nose(found).runs == 1);
    CHECK_NEAR(nose(found).worn_mm, 1.0, 1e-12);
    CHECK_NEAR(seen.wear_mm_per_100_km.value, 1.0, 1e-12);
    CHECK_NEAR(seen.wear_mm_per_100_km.u, 0.05 * std::sqrt(2.0), 1e-12);
    CHECK_NEAR(seen.wear_mm_per_100_km.high, 1.0 + 1.959963984540054 * 0.05 * std::sqrt(2.0), 1e-12);
    // 23.5 = 1.5 of the last less 0.5 of the first, and one reading more.
    CHECK_NEAR(seen.after_next_mm.value, 23.5, 1e-12);
    CHECK_NEAR(seen.after_next_mm.u, 0.05 * std::sqrt(1.5 * 1.5 + 0.5 * 0.5 + 1.0), 1e-12);
    REQUIRE(seen.left_km.value);
    CHECK_NEAR(*seen.left_km.value, 400.0, 1e-9);
    CHECK(seen.chance_under < 1e-12);
    CHECK(found.now_km == 120.0);
}

TEST_CASE("without a word the next run is as long as the last, and the chance is that of the reading under the least") {
    const Wear found = wear(worn({0.0, 70.0, 150.0, 150.0, 230.0}, {22.7, 22.1, 21.5, 21.4, 20.7}), {});
    CHECK(found.next_km == 80.0);
    CHECK(nose(found).checks == 5);
    CHECK(nose(found).runs == 3);
    const Outlook& seen = line_of(found);
    CHECK(nose(found).scatter.degrees == 3);
    CHECK(seen.chance_under == nose(found).scatter.below((20.0 - seen.after_next_mm.value) / seen.after_next_mm.u));
    CHECK((seen.chance_under > 0.3 && seen.chance_under < 0.7));
}

TEST_CASE("readings that happen to lie on a line are no surer than the gauge") {
    const Wear found = wear(worn({0.0, 100.0, 200.0}, {25.0, 24.0, 23.0}), {});
    CHECK(nose(found).scatter.standard == 0.05);
    CHECK(nose(found).scatter.degrees == 0);
}

TEST_CASE("what has no sense as a rate is refused in a sentence") {
    const std::string one_run =
        "skid.toml: nose: one run alone is no rate: it does not show how unevenly the skid wears, a third check does "
        "(or "
        "take the gauge's uncertainty alone, which says too little)";
    CHECK(refusal(worn({0.0, 100.0}, {25.0, 24.0})) == one_run);
    CHECK(refusal(worn({0.0, 100.0, 100.0}, {25.0, 24.0, 24.1})) == one_run);
    const std::string one_place =
        "skid.toml: nose: was read at one distance alone: a rate needs runs between the checks";
    CHECK(refusal(worn({80.0}, {25.0})) == one_place);
    WearAsked alone;
    alone.gauge_alone = true;
    CHECK(refusal(worn({80.0, 80.0}, {25.0, 25.0}), alone) == one_place);
    CHECK(refusal(worn({0.0, 50.0, 100.0, 150.0, 200.0}, {23.0, 23.1, 23.2, 23.3, 23.4})) ==
          "skid.toml: nose: grows by 0.2 mm in 100 km, beyond its uncertainty: no skid does (new = true where it was "
          "changed)");
    WearAsked absurd;
    absurd.next_km = 0.0;
    absurd.lasts_km = std::nan("");
    CHECK(refusal(worn({0.0, 50.0, 100.0}, {25.0, 24.6, 24.1}), absurd) ==
          "next_km = 0: must be more than 0 and no more than 100000 km\n"
          "lasts_km = nan: must be more than 0 and no more than 100000 km");
}

TEST_CASE("a point without a rate stands beside those that have one") {
    Skid skid = worn({0.0, 50.0, 100.0}, {25.0, 24.6, 24.1});
    skid.points.push_back({"tail", {-2100.0, 0.0, -5.0}});
    skid.points.push_back({"side", {-1200.0, 300.0, -5.0}});
    skid.checks[2].thickness_mm["tail"] = 24.9;
    const Wear found = wear(skid, {});
    CHECK(found.points[0].outlook);
    CHECK_FALSE(found.points[1].outlook);
    CHECK(found.points[1].last_mm == 24.9);
    CHECK(found.points[1].refused == "was read at one distance alone: a rate needs runs between the checks");
    CHECK(found.points[2].refused == "was not read of this skid");
}

TEST_CASE("a new skid starts a new line") {
    Skid skid = worn({0.0, 100.0, 200.0, 200.0, 300.0, 400.0}, {24.0, 22.0, 20.5, 25.0, 24.0, 23.1});
    skid.checks[3].fresh = true;
    const Wear found = wear(skid, {});
    CHECK(nose(found).checks == 3);
    CHECK_NEAR(line_of(found).wear_mm_per_100_km.value, 0.95, 1e-12);
    CHECK(found.notes == std::vector<std::string>{"3 checks of an earlier skid left out."});
    const Wear alone = wear(worn({0.0, 100.0, 200.0}, {25.0, 24.0, 23.1}), {});
    CHECK_NEAR(*line_of(alone).left_km.value, *line_of(found).left_km.value, 1e-9);
}

TEST_CASE("distances in other places and units, and thicknesses counted from elsewhere, tell the same wear") {
    const std::vector<double> km = {0.0, 40.0, 110.0, 190.0}, mm = {25.0, 24.3, 23.9, 22.8};
    const Wear found = wear(worn(km, mm), {});
    std::vector<double> far_km, thick_mm;
    for (const double one : km) far_km.push_back(3.0 * one + 5000.0);
    for (const double one : mm) thick_mm.push_back(one - 10.0);
    Skid other = worn(far_km, thick_mm);
    other.new_mm = 15.0;
    other.least_mm = 10.0;
    const Wear same = wear(other, {});
    const Outlook &a = line_of(found), &b = line_of(same);
    CHECK_NEAR(a.wear_mm_per_100_km.low, 3.0 * b.wear_mm_per_100_km.low, 1e-9);
    CHECK_NEAR(a.after_next_mm.high, b.after_next_mm.high + 10.0, 1e-9);
    CHECK_NEAR(a.chance_under, b.chance_under, 1e-12);
    CHECK_NEAR(*a.left_km.value, *b.left_km.value / 3.0, 1e-9);
    CHECK_NEAR(*a.left_km.low, *b.left_km.low / 3.0, 1e-9);
    CHECK(a.left_km.high.has_value() == b.left_km.high.has_value());
}

TEST_CASE("wear that cannot be told from none has no far end, and one that is over has no distance left") {
    const Wear level = wear(worn({0.0, 50.0, 100.0, 150.0}, {24.0, 24.05, 23.9, 24.0}), {});
    CHECK(line_of(level).left_km.low.value() > 0.0);
    CHECK_FALSE(line_of(level).left_km.high);
    const Wear over = wear(worn({0.0, 50.0, 100.0, 150.0}, {20.6, 20.3, 20.0, 19.6}), {});
    CHECK(line_of(over).left_km.value.value() < 0.0);
    CHECK(line_of(over).chance_under > 0.99);
}

TEST_CASE("ride heights too few to tell are said, those that hardly differ are none") {
    Skid skid = worn({0.0, 60.0, 120.0}, {25.0, 24.5, 23.7});
    for (std::size_t i = 0; i < 3; ++i) skid.checks[i].ride_height_mm["front_left"] = i == 0 ? 30.0 : 28.0;
    CHECK(wear(skid, {}).notes ==
          std::vector<std::string>{
              "nose: runs were at different ride heights, and too few checks tell what that does. The "
              "line takes them as alike."});
    SkidCheck again = skid.checks.back();  // a fourth reading is no third run
    again.thickness_mm["nose"] = 23.8;
    Skid twice = skid;
    twice.checks.push_back(again);
    CHECK(nose(wear(twice, {})).by_height.empty());
    WearAsked alone;
    alone.gauge_alone = true;
    CHECK(nose(wear(skid, alone)).by_height.size() == 1);
    for (SkidCheck& check : skid.checks) check.ride_height_mm["front_left"] += check.distance_km == 0.0 ? -1.6 : 0.0;
    CHECK(wear(skid, {}).notes.empty());
}

TEST_CASE("by the car: the height under each point, and what is left under it, by hand") {
    Car car = load_car(demo_path("wren.toml"));
    const Skid skid = skid_from(read_source(demo_path("wren_skid.toml")), car);
    WearAsked asked;
    asked.lasts_km = 200.0;
    const Wear found = wear(skid, asked, car);
    // front_left lies at x = 0, rear_left at x = -2345, both at z = 0; heights 28.5 and 42.
    const double at_nose = 28.5 + 13.5 * 250.0 / 2345.0 - 5.0;
    CHECK_NEAR(nose(found).gap_mm.value(), at_nose + 25.0 - 21.6, 1e-9);
    CHECK_NEAR(nose(found).gap_at_least_mm.value(), at_nose + 5.0, 1e-9);
    REQUIRE(nose(found).by_height.size() == 1);
    const WearByHeight& by = nose(found).by_height[0];
    CHECK(by.height == "under the skid");
    CHECK_NEAR(by.now_mm, at_nose, 1e-9);
    CHECK_NEAR(by.highest_mm - by.lowest_mm, 1.5 * (1.0 - 250.0 / 2345.0), 1e-9);
    CHECK(found.points[1].by_height.empty());  // 0.16 mm at the tail are no other height

    // By its name a mm is a mm at the axle: the same wear, another measure of height.
    const Wear by_name = wear(skid, asked);
    CHECK_FALSE(nose(by_name).gap_mm);
    const WearByHeight& front = nose(by_name).by_height.at(0);
    CHECK(front.height == "front_left");
    CHECK_NEAR(front.outlook.wear_mm_per_100_km.high, by.outlook.wear_mm_per_100_km.high, 1e-9);
    CHECK_NEAR(front.less_mm_per_100_km.value, by.less_mm_per_100_km.value * (1.0 - 250.0 / 2345.0), 1e-9);
    CHECK_NEAR(*by.lasts_mm->value - by.now_mm, (*front.lasts_mm->value - 28.5) * (1.0 - 250.0 / 2345.0), 1e-9);
}

TEST_CASE(
    "a height from a worn skid is taken off what is worn there, and one place along the car tells none elsewhere") {
    Car car = load_car(demo_path("wren.toml"));
    Skid skid = worn({0.0, 60.0, 120.0}, {25.0, 24.0, 23.0});
    skid.points.push_back({"tail", {-2345.0, 0.0, -5.0}});
    for (SkidCheck& check : skid.checks) {
        check.thickness_mm["tail"] = check.thickness_mm["nose"] + 1.0;
        check.ride_height_mm = {{"front_left", 30.0}, {"rear_left", 42.0}};
    }
    const Wear from_floor = wear(skid, {}, car);
    for (RideHeightPoint& point : car.ride_heights) point.from = HeightFrom::skid;
    const Wear from_skid = wear(skid, {}, car);
    // 2 mm are worn off at the nose, which front_left lies nearest to, 1 mm at the tail.
    CHECK_NEAR(*from_floor.points[1].gap_mm - *from_skid.points[1].gap_mm, 1.0, 1e-9);
    CHECK_NEAR(*from_floor.points[0].gap_mm - *from_skid.points[0].gap_mm, 2.0 - 250.0 / 2345.0, 1e-9);
    for (SkidCheck& check : skid.checks) check.ride_height_mm.erase("rear_left");
    CHECK_FALSE(nose(wear(skid, {}, car)).gap_mm);
}
