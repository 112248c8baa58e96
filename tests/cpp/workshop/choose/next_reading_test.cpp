// What will be read next: its covariance made again from its parts, and what no verdict covers.
#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/rest/solid.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "workshop/choose/plan_cases.hpp"
#include "workshop/choose/plan_scatter.hpp"

using namespace shimwise;

namespace {

/// Of two covariances: how far apart at most, in standard deviations of either value.
double apart(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b) {
    double most = 0.0;
    for (Eigen::Index i = 0; i < a.rows(); ++i)
        for (Eigen::Index k = 0; k < a.cols(); ++k)
            most = std::max(most, std::fabs(a(i, k) - b(i, k)) / std::sqrt(b(i, i) * b(k, k)));
    return most;
}

bool has(const std::vector<ValueId>& ids, const std::string& name) {
    return std::ranges::any_of(ids, [&name](const ValueId& id) { return key(id) == name; });
}

}  // namespace

TEST_CASE("the next reading scatters by what comes anew twice, by hands, by shims, and by what the model is off") {
    const Morning m = wren_morning();
    const AtRest at_rest(m);
    for (const double share : {0.0, 0.02, 0.2}) {
        INFO(share);
        PlanOptions options;
        options.model_share = share;
        const Plan got = plan(m.car, at_rest.measured, m.targets, options);
        const NextReading &idle = got.nothing.next, &done = got.closest.next;
        const auto n = static_cast<Eigen::Index>(idle.ids.size());
        REQUIRE(n == 14);
        CHECK(apart(idle.covariance, scatter_after(at_rest, at_rest.before, at_rest.before, idle.ids, share)) < 1e-12);
        const Car after = car_after(m.car, got, Which::closest);
        const Eigen::MatrixXd again = scatter_after(at_rest, at_rest.before, after, done.ids, share);
        CHECK(apart(done.covariance, again) < 5e-3);  // effects as it stands or once it is done
        CHECK(apart(done.covariance, idle.covariance) > (share == 0.0 ? 0.02 : 0.2));
        for (const PlannedValue& value : got.closest.values) {
            const auto found = std::ranges::find(done.ids, value.id);
            if (found == done.ids.end()) continue;
            const Eigen::Index i = found - done.ids.begin();
            INFO(key(value.id));
            CHECK_NEAR(value.deviation, std::sqrt(done.covariance(i, i)), 1e-12);
            CHECK_NEAR(value.then, done.predicted(i), 1e-12);
        }
    }
}

TEST_CASE("its limits are those of the targets, one-sided ones too") {
    Morning m = wren_morning();
    Target& camber = m.target(CornerId::rear_left, Output::camber);
    camber.value.reset();
    camber.most = -1.4;
    const Plan got = plan_of(m);
    const NextReading& next = got.closest.next;
    for (std::size_t i = 0; i < next.ids.size(); ++i) {
        INFO(key(next.ids[i]));
        const auto at = static_cast<Eigen::Index>(i);
        const Target target = *target_of(m.targets, next.ids[i]);
        CHECK(meets(target, next.predicted(at)) ==
              (next.lower(at) <= next.predicted(at) && next.predicted(at) <= next.upper(at)));
        if (!target.value) {
            CHECK(next.upper(at) == -1.4);
            CHECK(std::isinf(next.lower(at)));
            CHECK(next.off(at) == 0.0);
            CHECK(std::isinf(next.tolerance(at)));
            continue;
        }
        CHECK_NEAR(next.upper(at) - next.lower(at), 2.0 * target.tolerance, 1e-12);
        if (asks_of(got.closest, key(next.ids[i])) != "asked") continue;
        CHECK_NEAR(next.predicted(at) - next.off(at), *target.value, 1e-12);
        CHECK(next.tolerance(at) == target.tolerance);
    }
    CHECK(has(next.ids, "rear_left.camber"));
    CHECK_FALSE(has(next.ids, "front_left.caster"));  // the model's own
}

TEST_CASE("what nothing read answers is in no verdict, and is said") {
    Morning m = wren_morning();
    m.read(CornerId::front_left).flags_mm.reset();
    m.read(CornerId::rear_right).scale_kg.reset();
    const Plan got = plan_of(m);
    CHECK(has(got.unread, "front_left.toe"));
    CHECK_FALSE(has(got.closest.next.ids, "front_left.toe"));
    CHECK(planned(got.closest, "front_left.toe") == nullptr);
    CHECK_FALSE(got.closest.within);  // "every target; false: one was not read"
    CHECK(has(got.closest.next.ids, "front_right.toe"));
    m.targets.values.erase({CornerId::front_left, Output::toe});
    const Plan others = plan_of(m);
    CHECK(others.unread.empty());
    CHECK(others.closest.within);
}

TEST_CASE("without anything that can be judged nothing is said to pass") {
    Morning m = wren_morning();
    m.targets.values.clear();
    const Plan none = plan_of(m);
    CHECK_FALSE(none.closest.touches);
    CHECK(none.closest.next.ids.empty());
}

TEST_CASE("where the car cannot stand by the model contacts are held, heights and weights fall out, and it is said") {
    Morning m = wren_morning();
    for (const CornerId id : front_corners) {  // its springs have no load as drawn: they would have to pull
        m.car[id].spring.load_at_drawn_N = 0.0;
        m.car[id].damper.reset();
    }
    m.car.mass.total_kg = 20.0;
    const Plan got = plan_of(m);
    CHECK(got.closest.whole.held == CarHeld::contact);
    CHECK_FALSE(got.closest.whole.why_not.empty());
    CHECK(said(got.notes, "contact"));
    CHECK(planned(got.closest, "ride_height.front_left") == nullptr);
    CHECK(planned(got.closest, "front_difference") == nullptr);
    const Measured measured = m.measured();
    const Car after = car_after(m.car, got, Which::closest);
    for (const CornerId id : all_corners) {
        const auto outputs_of = [&measured](const Corner& corner) { return outputs_on(measured.ground, corner); };
        const Outputs<double> was = outputs_of(m.car[id]), is = outputs_of(after[id]);
        for (const Output output : {Output::toe, Output::camber}) {
            const ValueId value(id, output);
            INFO(key(value));
            const PlannedValue* told = planned(got.closest, key(value));
            REQUIRE(told);
            CHECK_NEAR(told->then, *measured.value(value) + is[index(output)] - was[index(output)], 1e-9);
            CHECK(told->within);
        }
    }
}

TEST_CASE("on solid struts the plan is that of the best plane, without weights") {
    Morning m = wren_morning();
    m.readings.struts_solid = true;
    const Measured measured = m.measured();
    const Plan got = plan(m.car, measured, m.targets);
    CHECK(got.closest.whole.held == CarHeld::spring);
    CHECK(planned(got.closest, "front_difference") == nullptr);
    REQUIRE(planned(got.closest, "ride_height.front_left"));
    const PadHeights pads = *m.readings.pad_height_mm;
    const auto stands = [&pads](const Car& car) {
        return on_solid_struts(rest_model(car), pads, drawn_struts_mm(car)).stands.values;
    };
    const RestValues<double> was = stands(m.car), is = stands(car_after(m.car, got, Which::closest));
    int turned = 0;
    for (const PlannedValue& value : got.closest.values) {
        INFO(key(value.id));
        CHECK_NEAR(value.then - value.now, shimwise::value(is, value.id) - shimwise::value(was, value.id), 1e-9);
        turned += std::fabs(value.then - value.now) > 0.01 ? 1 : 0;
    }
    CHECK(turned > 4);
}
