// Questions that once took minutes: that they end, with which answer, and what is said of its proof.
#include "catch.hpp"
#include "workshop/choose/small_morning.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

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

double cost_at(const Plan& plan, CornerId id) { return plan.closest.corners[index(id)].cost; }

}  // namespace

TEST_CASE("a limit that nothing reaches costs neither time nor what else is asked") {
    Morning m = wren_morning();
    for (const CornerId id : {CornerId::front_left, CornerId::front_right}) m.target(id, Output::caster).least = 8.0;
    const Plan found = plan(m.car, m.measured(), m.targets);
    CHECK(found.refusals.size() == 2);
    CHECK_FALSE(found.least_work);
    for (const CornerId id : {CornerId::front_left, CornerId::front_right}) {
        const CornerPlan& corner = found.closest.corners[index(id)];
        // 7.354 deg is all that is there, at 9 deg of toe-out.
        CHECK(output_of(corner, "caster").predicted > 7.33);
        CHECK(output_of(corner, "toe").within);
        CHECK(corner.proof.evaluated < 1'000'000);
    }
}

TEST_CASE("twelve adjusters of toe do what one does, and nobody says that it is proven") {
    Morning m = wren_morning();
    const Plan one = plan(m.car, m.measured(), m.targets);
    add_track_rods(m.car, CornerId::front_left, 11);
    const Plan twelve = plan(m.car, m.measured(), m.targets);
    CHECK(cost_at(twelve, CornerId::front_left) <= cost_at(one, CornerId::front_left) + 1e-6);
    REQUIRE(twelve.least_work);
    CHECK(twelve.least_work->minutes == one.least_work->minutes);
    CHECK_FALSE(twelve.closest.corners[index(CornerId::front_left)].proof.proven);
    CHECK(twelve.closest.corners[index(CornerId::front_left)].proof.combinations == 1'000'000'000'000'000'000);
    CHECK(twelve.closest.corners[index(CornerId::rear_left)].proof.proven);
}

TEST_CASE("two boxes of sixty measured shims: as near as the steps of the rods allow") {
    Morning m = wren_morning();
    m.car.boxes_mm["front"] = m.car.boxes_mm["rear"] = measured_shims(60);
    for (CornerReadings& corner : m.readings.corners) corner.shims_mm.clear();
    const Plan found = plan(m.car, m.measured(), m.targets);
    REQUIRE(found.least_work);
    CHECK(found.refusals.empty());
    for (const CornerId id : all_corners) {
        const PlannedOutput& camber = output_of(found.closest.corners[index(id)], "camber");
        CHECK_NEAR(camber.predicted, *camber.target.value, 0.02);
        CHECK(found.closest.corners[index(id)].proof.proven);
    }
}
