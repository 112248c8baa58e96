// Questions that once took minutes: that they end, with which answer, and what is said of its proof.
#include <cmath>
#include <ctime>

#include "catch.hpp"
#include "workshop/choose/plan_cases.hpp"

using namespace shimwise;

namespace {

/// Seconds are generous: what is wanted of speed is gated by instructions elsewhere.
#ifdef __SANITIZE_ADDRESS__
constexpr double slower = 40.0;
#else
constexpr double slower = 1.0;
#endif

/// Of processor time, so that a busy machine is no failure.
Plan within_seconds(double most, const Morning& m, const PlanOptions& options = {}) {
    const std::clock_t start = std::clock();
    Plan got = plan_of(m, options);
    const double took = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    INFO("took " << took << " s");
    CHECK(took < most * slower);
    return got;
}

/// So many more track rods at a corner: whatever they do, one alone could do.
void add_track_rods(Car& car, CornerId id, int count) {
    for (int i = 0; i < count; ++i) {
        Adjuster rod = car[id].adjusters[*car[id].find("track rod")];
        rod.name = "track rod " + std::to_string(i);
        car[id].adjusters.push_back(rod);
    }
}

/// Shims as a micrometer reads them: no two alike.
std::vector<double> measured_shims(std::size_t count) {
    std::vector<double> shims;
    for (std::size_t i = 0; i < count; ++i) {
        const double nominal = std::array{0.1, 0.2, 0.5, 1.0}[i % 4];
        shims.push_back(nominal + 0.001 * (static_cast<double>(i * 7 % 41) - 20.0));
    }
    return shims;
}

}  // namespace

TEST_CASE("a one-sided caster costs no time") {
    Morning m = wren_morning();
    for (const double least : {4.7, 5.0}) {
        INFO(least);
        for (const CornerId id : front_corners) m.target(id, Output::caster).least = least;
        const Plan got = within_seconds(5.0, m);
        CHECK(got.closest.within);
        for (const CornerId id : front_corners) CHECK(planned(got.closest, at(id, "caster"))->then >= least);
    }
}

TEST_CASE("a limit that nothing reaches costs neither time nor what else is asked") {
    Morning m = wren_morning();
    for (const CornerId id : front_corners) m.target(id, Output::caster).least = 30.0;
    const Plan got = within_seconds(10.0, m);
    CHECK_FALSE(got.least_work);
    CHECK_FALSE(got.closest.within);
    for (const PlannedValue& value : got.closest.values) {
        INFO(key(value.id));
        CHECK(value.within == (value.target.least != 30.0));
    }
}

TEST_CASE("twelve track rods at a corner do what one does") {
    Morning m = wren_morning();
    const Plan one = plan_of(m);
    add_track_rods(m.car, CornerId::front_left, 11);
    const Plan twelve = within_seconds(10.0, m);
    CHECK(twelve.closest.within);
    CHECK(twelve.closest.cost <= one.closest.cost + 1e-4);
    REQUIRE(twelve.least_work);
    CHECK((twelve.least_work->minutes <= one.least_work->minutes + 1e-9 || !twelve.least_work_proven));
}

TEST_CASE("two boxes of sixty measured shims: as near as the steps of the rods allow") {
    Morning m = wren_morning();
    const double before = plan_of(m).closest.cost;
    m.car.boxes_mm["front"] = m.car.boxes_mm["rear"] = measured_shims(60);
    for (CornerReadings& corner : m.readings.corners) corner.shims_mm.clear();
    const Plan got = within_seconds(20.0, m);
    REQUIRE(got.least_work);
    CHECK(got.closest.cost < before);
    for (const CornerId id : all_corners) {
        const PlannedValue* camber = planned(got.closest, at(id, "camber"));
        REQUIRE(camber);
        CHECK_NEAR(camber->then, *camber->target.value, 0.02);
    }
}

TEST_CASE("fourteen packs on one box end, and share it") {
    Morning m = wren_morning();
    for (const CornerId id : all_corners) {
        m.stack(id, "camber shim").box = "front";
        m.read(id).shims_mm.clear();
    }
    int packs = 4;
    for (int extra = 0; packs < 14; ++extra)
        for (const CornerId id : all_corners) {
            if (packs == 14) break;
            Adjuster pack = m.adjuster(id, "camber shim");
            pack.name = "camber shim " + std::to_string(extra);
            m.car[id].adjusters.push_back(pack);
            ++packs;
        }
    const Plan got = within_seconds(20.0, m);
    CHECK(got.closest.within);
    const auto was = all_shims(m.car, "front"), is = all_shims(car_after(m.car, got, Which::closest), "front");
    REQUIRE(was.size() == is.size());
    for (std::size_t s = 0; s < was.size(); ++s) CHECK_NEAR(is[s], was[s], 1e-9);
}
