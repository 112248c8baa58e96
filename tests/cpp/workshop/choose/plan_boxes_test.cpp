// Shims that corners share: against every way to lay each shim left, right or back into the box.
#include <algorithm>
#include <cmath>
#include <functional>

#include "catch.hpp"
#include "size.hpp"
#include "workshop/choose/plan_cases.hpp"

using namespace shimwise;

namespace {

/// Totals of two stacks that can be had at the same time: each shim goes left, right or stays in the box.
std::vector<std::pair<double, double>> both_at_once(const std::vector<double>& shims) {
    std::vector<std::pair<double, double>> pairs;
    const std::function<void(std::size_t, double, double)> put = [&](std::size_t i, double left, double right) {
        if (i == shims.size()) {
            const bool known = std::ranges::any_of(pairs, [&](const auto& p) {
                return std::fabs(p.first - left) < 1e-9 && std::fabs(p.second - right) < 1e-9;
            });
            if (!known && left <= 6.0 + 1e-9 && right <= 6.0 + 1e-9) pairs.emplace_back(left, right);
            return;
        }
        put(i + 1, left, right);
        put(i + 1, left + shims[i], right);
        put(i + 1, left, right + shims[i]);
    };
    put(0, 0.0, 0.0);
    return pairs;
}

struct Best {
    double cost = 1e300, left = 0.0, right = 0.0;
};

}  // namespace

TEST_CASE("of corners that share a box the plan is the best of every way to lay its shims") {
    const int cases = test_size("shared boxes against every way", 6, 60);
    std::mt19937 random(12);
    int bound = 0;
    for (int i = 0; i < cases; ++i) {
        Morning m = wren_morning();
        const bool front = i % 2 == 0;
        const auto corners = front ? front_corners : rear_corners;
        const std::string box = front ? "front" : "rear";
        m.targets.values.clear();
        PlanOptions options =
            with(&PlanOptions::forbid, {"toe", "caster", "ride_height", "corner_weight", "bar_free",
                                        front ? "rear_left" : "front_left", front ? "rear_right" : "front_right"});
        options.free = {"ride_height", "front_difference", "rear_difference", "caster"};
        m.car.boxes_mm[box] = {0.2, 0.5};
        for (const CornerId id : corners) {
            m.stack(id, "camber shim").fitted_mm = {2.0, 1.0};
            m.read(id).shims_mm.clear();
            Target camber;
            camber.tolerance = 0.05;
            // As if both wanted the same shims: that is where the box binds.
            camber.value =
                *m.measured().value({id, Output::camber}) + 0.2 * (1.0 + draw(random)) * (i % 3 == 0 ? -1.0 : 1.0);
            m.targets.values[{id, Output::camber}] = camber;
        }
        const AtRest at_rest(m);
        const Plan got = plan(m.car, at_rest.measured, m.targets, options);
        const auto price = [&](double left, double right) {
            Car car = at_rest.before;
            set(car, corners[0], "camber shim", left);
            set(car, corners[1], "camber shim", right);
            const RestValues<double> is = at_rest.of(car);
            double cost = 1e-6 * (std::pow((left - 3.0) / 0.2, 2) + std::pow((right - 3.0) / 0.2, 2));
            for (const auto& [id, target] : m.targets.values)
                cost += std::pow((at_rest.read(id, is) - *target.value) / target.tolerance, 2);
            return cost;
        };
        Best together, alone;
        for (const auto& [left, right] : both_at_once(all_shims(at_rest.before, box)))
            if (const double cost = price(left, right); cost < together.cost) together = {cost, left, right};
        const std::vector<double> totals = all_totals(all_shims(at_rest.before, box), 0.0, 6.0);
        for (const double left : totals)
            for (const double right : totals) alone.cost = std::min(alone.cost, price(left, right));
        INFO("case " << i);
        REQUIRE(got.closest.settings.size() == 2);
        CHECK_NEAR(got.closest.cost, together.cost, 1e-9 * (1.0 + together.cost));
        CHECK_NEAR(setting_of(got.closest, at(corners[0], "camber shim"))->after, together.left, 1e-9);
        CHECK_NEAR(setting_of(got.closest, at(corners[1], "camber shim"))->after, together.right, 1e-9);
        bound += together.cost > alone.cost + 1e-9 ? 1 : 0;
        const Car after = car_after(m.car, got, Which::closest);
        const auto was = all_shims(at_rest.before, box), is = all_shims(after, box);
        REQUIRE(was.size() == is.size());
        for (std::size_t s = 0; s < was.size(); ++s) CHECK_NEAR(is[s], was[s], 1e-9);
    }
    CHECK(bound > 0);  // the box did bind somewhere
}
