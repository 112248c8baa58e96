#include "shimwise/workshop/measure/packing.hpp"

#include <cmath>
#include <random>
#include <tuple>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "size.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

Level level_on(const std::array<double, 4>& pads_mm) {
    static const Morning demo = wren_morning();
    Morning m = demo;
    m.readings.pad_height_mm = pads_mm;
    return level(m.measured(), m.car);
}

constexpr long long inside = 1'000'000'000LL;

struct Way {
    bool worse = false;    // than as it lies, and outside
    long long excess = 0;  // billionths over the tolerances, summed
    std::size_t pieces = 0;
    long long nm = 0;
    long long share = 0;

    auto tied() const { return std::tuple(worse, excess, pieces, nm, share); }
};

Way judged(const Level& level, const std::array<double, 4>& raised_mm, std::size_t pieces,
           const LevelTolerance& tolerance) {
    const double by[3] = {tolerance.tilt_mm_per_m, tolerance.tilt_mm_per_m, tolerance.twist_mm};
    const double at[3] = {level.fore_aft_mm_per_m.value, level.across_mm_per_m.value, level.twist_mm.value};
    Way way{.pieces = pieces};
    double sum = 0.0;
    for (int k = 0; k < 3; ++k) {
        double then = at[k];
        for (int c = 0; c < 4; ++c) then += level.by_pads(k, c) * raised_mm[static_cast<std::size_t>(c)];
        const long long share = std::llround(std::abs(then) / by[k] * 1e9),
                        before = std::llround(std::abs(at[k]) / by[k] * 1e9);
        way.worse |= share > std::max(before, inside);
        way.excess += std::max(share - inside, 0LL);
        way.share = std::max(way.share, share);
    }
    for (const double mm : raised_mm) sum += mm;
    way.nm = std::llround(sum * 1e6);
    return way;
}

/// All 5^n ways.
Way best_of_all(const Level& level, const std::vector<double>& packing_mm, const LevelTolerance& tolerance) {
    long long ways = 1;
    for (std::size_t i = 0; i < packing_mm.size(); ++i) ways *= 5;
    Way best = judged(level, {}, 0, tolerance);
    for (long long way = 0; way < ways; ++way) {
        std::array<double, 4> raised{};
        std::size_t pieces = 0;
        long long left = way;
        for (const double mm : packing_mm) {
            if (left % 5 < 4) {
                raised[static_cast<std::size_t>(left % 5)] += mm;
                ++pieces;
            }
            left /= 5;
        }
        best = std::min(best, judged(level, raised, pieces, tolerance),
                        [](const Way& a, const Way& b) { return a.tied() < b.tied(); });
    }
    return best;
}

}  // namespace

TEST_CASE("the packing found is the best of all ways there are") {
    std::mt19937 random(3);
    std::uniform_real_distribution<double> height(-2.0, 2.0), tight(0.05, 0.8);
    const std::vector<double> thickness = {0.05, 0.1, 0.1, 0.2, 0.25, 0.5, 0.5, 1.0, 1.5};
    int within = 0;
    const int cases = test_size("packings against all ways", 150, 1500);
    for (int one = 0; one < cases; ++one) {
        const Level level = level_on({height(random), height(random), height(random), height(random)});
        std::vector<double> packing_mm(1 + random() % 6);
        for (double& mm : packing_mm) mm = thickness[random() % thickness.size()];
        const LevelTolerance tolerance = {tight(random), 2.0 * tight(random)};
        const Packing found = best_packing(level, packing_mm, tolerance);
        std::array<double, 4> raised{};
        for (std::size_t c = 0; c < 4; ++c)
            for (const double mm : found.under_mm[c]) raised[c] += mm;
        const Way best = best_of_all(level, packing_mm, tolerance);
        INFO("case " << one);
        const Way is = judged(level, raised, found.pieces, tolerance);
        CHECK(is.pieces == best.pieces);
        CHECK(is.nm == best.nm);
        CHECK(std::abs(is.share - best.share) <= 2);
        CHECK(std::abs(is.excess - best.excess) <= 3);
        CHECK(!is.worse);
        CHECK(found.within == (best.excess == 0));
        CHECK(found.proven);
        within += found.within ? 1 : 0;
    }
    CHECK(within > cases / 10);
    CHECK(within < cases);
}

TEST_CASE("a level place needs nothing, and no packing leaves it as it lies") {
    const Packing level = best_packing(level_on({0.1, 0.1, 0.1, 0.1}), {0.1, 0.5}, {});
    CHECK(level.within);
    CHECK(level.pieces == 0);
    const Packing none = best_packing(level_on({2.0, 0.0, 0.0, 0.0}), {}, {});
    CHECK(!none.within);
    CHECK(none.proven);
    CHECK_NEAR(none.pads_mm[0], 1.5, 1e-12);
}

TEST_CASE("one low pad is packed with the piece that it lacks, and a piece is in one place only") {
    const Packing one = best_packing(level_on({-2.0, 0.0, 0.0, 0.0}), {1.0, 2.0, 0.2}, {0.3, 0.3});
    REQUIRE(one.within);
    CHECK(one.under_mm[0] == std::vector<double>{2.0});
    CHECK(one.pieces == 1);
    const Packing two = best_packing(level_on({-2.0, -2.0, 0.0, 0.0}), {2.0}, {0.3, 0.3});
    CHECK(!two.within);
    const Packing both = best_packing(level_on({-2.0, -2.0, 0.0, 0.0}), {2.0, 2.0}, {0.3, 0.3});
    REQUIRE(both.within);
    CHECK_NEAR(both.fore_aft_mm_per_m, 0.0, 1e-9);
    CHECK_NEAR(both.twist_mm, 0.0, 1e-9);
}

TEST_CASE("a slope too steep to pack is not paid for with a twist") {
    const LevelTolerance tolerance;
    const Level slope = level_on({-10.0, -10.0, 10.0, 10.0});
    const Packing one = best_packing(slope, {1.8}, tolerance);
    CHECK(!one.within);
    CHECK(one.pieces == 0);
    const Packing pair = best_packing(slope, {1.8, 1.8}, tolerance);
    CHECK(pair.pieces == 2);
    CHECK(std::abs(pair.fore_aft_mm_per_m) < std::abs(slope.fore_aft_mm_per_m.value));
    CHECK(std::abs(pair.twist_mm) < tolerance.twist_mm);
}

TEST_CASE("a box of many pieces ends in time, and says when it is not proven") {
    std::vector<double> box;
    for (int i = 0; i < 40; ++i) box.push_back(0.05 + 0.013 * i);
    const Level level = level_on({-0.7, 0.31, 0.55, -0.2});
    const Packing hard = best_packing(level, box, {1e-7, 1e-7});
    CHECK(!hard.proven);
    CHECK(hard.looked_at < 20'000'100);
    const Packing usual = best_packing(level, box, {0.05, 0.05});
    CHECK(usual.proven);
    CHECK(usual.within);
    CHECK(hard.share * 1e-7 < usual.share * 0.05);  // not proven, and yet far nearer to level
}

TEST_CASE("a tolerance that is none is refused with a sentence") {
    const Level level = level_on({0.0, 0.0, 0.0, 0.0});
    CHECK_THROWS_WITH(best_packing(level, {}, {0.0, 0.5}),
                      Catch::Matchers::EndsWith("tilt_mm_per_m = 0: a tolerance must be above 0"));
    CHECK_THROWS_WITH(best_packing(level, {}, {0.5, std::nan("")}),
                      Catch::Matchers::EndsWith("a tolerance must be above 0"));
}
