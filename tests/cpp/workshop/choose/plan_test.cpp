#include "shimwise/workshop/choose/plan.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/rest/solve.hpp"
#include "workshop/choose/small_morning.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("the plan done again by its own settings meets its prediction to 1e-9") {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    const Plan got = plan(m.car, measured, m.targets);
    CHECK(got.closest.within);
    REQUIRE(got.least_work);
    CHECK(got.refusals.empty());
    for (const Which which : {Which::closest, Which::least_work}) {
        const Car after = with_settings(m.car, settings_after(m.car, got, which));  // throws where a limit is broken
        const auto at_rest = [&m](const Car& car) { return rest(rest_model(car), *m.readings.pad_height_mm).values; };
        const RestValues<double> was = at_rest(m.car), is = at_rest(after);
        for (const CornerId id : all_corners) {
            const std::string name(corner_names[index(id)]);
            const auto change = [&](Output o) { return is.at(id, o) - was.at(id, o); };
            const CornerPlan& corner = got.choice(which)->corners[index(id)];
            const PlannedOutput &toe = output_of(corner, ".toe"), &camber = output_of(corner, ".camber");
            CHECK_NEAR(toe.predicted, *measured.value(name + ".toe") + change(Output::toe), 1e-9);
            CHECK_NEAR(camber.predicted, *measured.value(name + ".camber") + change(Output::camber), 1e-9);
            if (is_front(id)) {
                const PlannedOutput caster = output_of(corner, ".caster");
                CHECK_NEAR(caster.predicted, caster.now + change(Output::caster), 1e-9);
            }
            // Each corner was planned by itself, its contact held. The whole car comes near to that: where shims go in
            // on one side and out on the other, it rolls by some hundredths of a degree.
            const Again alone = again(m, measured, id, after[id]);
            CHECK_NEAR(toe.predicted, alone.toe, 2e-3);
            CHECK_NEAR(camber.predicted, alone.camber, 1e-2);
        }
        for (const CarValue& value : got.choice(which)->whole.values)
            if (value.id.is(CarOutput::cross_weight))
                CHECK_NEAR(value.then - value.now, is.at(CarOutput::cross_weight) - was.at(CarOutput::cross_weight),
                           1e-9);
    }
    // Total toe follows from the two.
    for (const DerivedOutput& derived : got.closest.derived)
        if (derived.id.is(CarOutput::total_toe_front))
            CHECK_NEAR(derived.predicted,
                       output_of(got.closest.corners[0], ".toe").predicted +
                           output_of(got.closest.corners[1], ".toe").predicted,
                       1e-9);
}

TEST_CASE("where everything reads as wanted nothing is touched") {
    Morning m = wren_morning();
    const Measured measured = m.measured();
    for (const CornerId id : all_corners)
        for (const Output output : {Output::toe, Output::camber})
            m.target(id, output).value = measured.value({id, output});
    const Plan got = plan(m.car, measured, m.targets);
    CHECK_FALSE(got.closest.touches);
    CHECK_NEAR(got.closest.minutes, 0.0, 0.0);
    CHECK_NEAR(got.closest.cost, 0.0, 1e-15);
    REQUIRE(got.least_work);
    CHECK_FALSE(got.least_work->touches);
    CHECK(got.closest.within);
}

TEST_CASE("a corner is planned for what was read and wanted there, and the rest is said") {
    Morning m = wren_morning();
    m.read(CornerId::front_left).flags_mm.reset();
    m.targets.values.erase({CornerId::rear_left, Output::camber});
    const Plan got = plan(m.car, m.measured(), m.targets);
    const CornerPlan& front = got.closest.corners[index(CornerId::front_left)];
    CHECK(std::isnan(setting_of(front, ".track rod")));
    CHECK_FALSE(std::isnan(setting_of(front, ".camber shim")));
    CHECK(said(got.notes, "front_left.toe was not measured"));
    const CornerPlan& rear = got.closest.corners[index(CornerId::rear_left)];
    CHECK(std::isnan(setting_of(rear, ".camber shim")));
    CHECK_FALSE(std::isnan(setting_of(rear, ".toe link")));
    CHECK(said(got.notes, "rear_left.camber has no target"));
    CHECK(said(got.notes, "Heights and weights", "not planned yet"));
    CHECK(keys(got.closest.next.ids) == std::vector<std::string>{"front_left.camber", "front_right.toe",
                                                                 "front_right.camber", "rear_left.toe",
                                                                 "rear_right.toe", "rear_right.camber"});
}

TEST_CASE("caster legs are turned only where caster is wanted or short of its least") {
    Morning m = wren_morning();
    const auto legs = [](const Plan& p) { return !std::isnan(setting_of(p.closest.corners[0], ".upper front leg")); };
    CHECK_FALSE(legs(plan(m.car, m.measured(), m.targets)));
    for (const CornerId id : {CornerId::front_left, CornerId::front_right})
        for (const char* leg : {"upper front leg", "upper rear leg"}) m.thread(id, leg).limits_turns = {-1.0, 1.0};
    m.target(CornerId::front_left, Output::caster).least = 5.0;
    const Plan more = plan(m.car, m.measured(), m.targets);
    CHECK(legs(more));
    CHECK(output_of(more.closest.corners[0], ".caster").predicted >= 5.0);
    CHECK_FALSE(output_of(more.closest.corners[0], ".caster").asked);
    m.target(CornerId::front_left, Output::caster).least = 30.0;
    const Plan refused = plan(m.car, m.measured(), m.targets);
    CHECK(said(refused.refusals, "front_left", "caster of at least +30.000 deg", "leg"));
}

TEST_CASE("the next reading scatters by what comes anew twice, by settability and by changed shims") {
    Morning m = wren_morning();
    const Measured measured = m.measured();
    const Plan got = plan(m.car, measured, m.targets);
    const auto at = [](const NextReading& next, const ValueId& id) {
        return std::find(next.ids.begin(), next.ids.end(), id) - next.ids.begin();
    };
    const NextReading& idle = got.nothing.next;
    const NextReading& done = got.closest.next;
    for (const ValueId& read :
         {ValueId(CornerId::front_left, Output::toe), ValueId(CornerId::rear_right, Output::camber)}) {
        const auto i = at(idle, read);
        const auto k = static_cast<Eigen::Index>(measured.find(read).value());
        CHECK_NEAR(idle.covariance(i, i), 2.0 * measured.repeat_covariance(k, k), 1e-15);
    }
    const CornerId id = CornerId::front_left;
    const Corner& corner = m.car[id];
    const Rates r = rates(setup(corner), measured.ground.hold(), measured.ground.held_value(), measured.ground.frame);
    double extra = 0.0, both = 0.0;
    for (const PlannedSetting& planned : got.closest.corners[index(id)].settings) {
        REQUIRE(planned.touched);
        const Adjuster& adjuster = corner.adjusters[planned.adjuster];
        const double mm = adjuster.thread() ? adjuster.thread()->settable_turns * adjuster.thread()->lead_mm()
                                            : adjuster.stack()->thickness_uncertainty_mm *
                                                  std::sqrt(static_cast<double>(planned.shims.moved()));
        CHECK(mm > 0.0);
        const Outputs<double>& per_mm = r.per_mm[planned.adjuster];
        extra += std::pow(per_mm[index(Output::toe)] * mm, 2);
        both += per_mm[index(Output::toe)] * per_mm[index(Output::camber)] * mm * mm;
    }
    const auto toe = at(done, {id, Output::toe}), camber = at(done, {id, Output::camber});
    CHECK_NEAR(done.covariance(toe, toe) - idle.covariance(toe, toe), extra, 1e-12);
    CHECK_NEAR(done.covariance(toe, camber) - idle.covariance(toe, camber), both, 1e-12);
    CHECK_NEAR(done.covariance(toe, at(done, {CornerId::rear_left, Output::toe})), 0.0, 1e-12);  // string ends cancel
    CHECK_NEAR(done.off(toe), done.predicted(toe) - 0.10, 1e-15);
    CHECK_NEAR(done.upper(toe) - done.lower(toe), 2.0 * done.tolerance(toe), 1e-15);
    CHECK_NEAR(output_of(got.closest.corners[0], ".toe").uncertainty, std::sqrt(done.covariance(toe, toe)), 1e-15);
}

TEST_CASE("where nothing lies inside the guard band the whole tolerance is used, and it is said") {
    Morning m = wren_morning();
    for (const CornerId id : all_corners) {
        const Measured measured = m.measured();
        const std::string name(corner_names[index(id)]);
        // 0.9 of a tolerance away with no shim to be had: in tolerance, but not in the half of it.
        m.target(id, Output::camber).value = *measured.value(name + ".camber") + 0.045;
        m.target(id, Output::toe).value = *measured.value(name + ".toe");
        m.car.instruments.camber_gauge.repeatability_deg = 0.05;
    }
    m.car.boxes_mm["front"].clear();
    m.car.boxes_mm["rear"].clear();
    for (CornerReadings& corner : m.readings.corners) corner.shims_mm.clear();
    for (const CornerId id : all_corners)
        m.thread(id, is_front(id) ? "track rod" : "toe link").limits_turns = {0.0, 0.0};
    const Plan got = plan(m.car, m.measured(), m.targets);
    REQUIRE(got.least_work);
    CHECK(said(got.notes, "front_left", "whole tolerance"));
    CHECK_FALSE(got.least_work->corners[0].guarded);
    CHECK(got.least_work->corners[0].within);
}
