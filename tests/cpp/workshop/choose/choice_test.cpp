#include "shimwise/workshop/choose/choice.hpp"

#include "catch.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("a choice is the sum of its corners, and touches what stands differently") {
    const Morning m = wren_morning();
    const Plan got = plan(m.car, m.measured(), m.targets);
    for (const Choice* choice : {&got.nothing, &got.closest, &*got.least_work}) {
        double cost = 0.0, minutes = 0.0;
        bool touches = false, within = true;
        for (const CornerPlan& corner : choice->corners) {
            cost += corner.cost;
            within = within && corner.within;
            for (const PlannedSetting& setting : corner.settings) {
                CHECK(setting.touched == (setting.after != setting.before || setting.shims.moved() > 0));
                CHECK((setting.minutes > 0.0) == setting.touched);
                minutes += setting.minutes;
                touches = touches || setting.touched;
            }
        }
        CHECK_NEAR(choice->cost, cost, 1e-12);
        CHECK_NEAR(choice->minutes, minutes, 1e-12);
        CHECK(choice->touches == touches);
        CHECK(choice->within == within);
    }
    CHECK_FALSE(got.nothing.touches);
    CHECK(got.closest.touches);
}

TEST_CASE("the next reading has a limit each way about every value that is asked for") {
    Morning m = wren_morning();
    Target& camber = m.target(CornerId::rear_left, Output::camber);
    camber.value.reset();
    camber.most = -1.0;
    const Plan got = plan(m.car, m.measured(), m.targets);
    const NextReading& next = got.closest.next;
    REQUIRE(next.ids.size() == 8);
    for (std::size_t i = 0; i < next.ids.size(); ++i) {
        INFO(key(next.ids[i]));
        const auto at = static_cast<Eigen::Index>(i);
        const Target target = *target_of(m.targets, next.ids[i]);
        CHECK(meets(target, next.predicted(at)) ==
              (next.lower(at) <= next.predicted(at) && next.predicted(at) <= next.upper(at)));
        if (!target.value) {
            CHECK(next.upper(at) == -1.0);
            CHECK(next.off(at) == 0.0);
            continue;
        }
        CHECK_NEAR(next.upper(at) - next.lower(at), 2.0 * target.tolerance, 1e-12);
        CHECK_NEAR(next.predicted(at) - next.off(at), *target.value, 1e-12);
        CHECK(next.tolerance(at) == target.tolerance);
    }
}
