// That the search finds the best plan: against brute force and rounding, and both of its ways.
#include <algorithm>
#include <cmath>
#include <functional>
#include <random>

#include "catch.hpp"
#include "shimwise/motion/rates.hpp"
#include "size.hpp"
#include "workshop/choose/small_morning.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

struct Tried {
    double turns = 0.0, total_mm = 0.0, cost = 0.0, minutes = 0.0;
    bool within = false;
};

/// Every setting of rod and stack of a corner, by loops of this test's own.
std::vector<Tried> tried(const Morning& m, const Measured& measured, CornerId id, const std::vector<double>& totals,
                         double thinnest) {
    const std::string rod = is_front(id) ? "track rod" : "toe link";
    const Corner& corner = m.car[id];
    const auto targets = targets_by_name(m.targets, ValueId::Of::corner, index(id));
    const double fitted = corner.adjusters[*corner.find("camber shim")].stack()->total_mm();
    std::vector<Tried> all;
    for (const double total : totals)
        for (int k = -12; k <= 12; ++k) {
            Corner after = corner;
            Thread& thread = std::get<Thread>(after.adjusters[*after.find(rod)].setting);
            Stack& stack = std::get<Stack>(after.adjusters[*after.find("camber shim")].setting);
            thread.now_turns += k / 24.0;
            stack.fitted_mm = {total};
            const Again read = again(m, measured, id, after);
            Tried t{thread.now_turns, total};
            const auto off = [&](const char* name, double value) {
                return (value - *targets.at(name).value) / targets.at(name).tolerance;
            };
            const double toe = off("toe", read.toe), camber = off("camber", read.camber);
            const double shim_steps = (total - fitted) / thinnest;
            t.cost = toe * toe + camber * camber + 1e-6 * (k * k + shim_steps * shim_steps);
            t.within = std::fabs(toe) <= 1.0 && std::fabs(camber) <= 1.0;
            t.minutes =
                (k != 0 ? corner.adjusters[*corner.find(rod)].minutes : 0.0) +
                (std::fabs(total - fitted) > 1e-9 ? corner.adjusters[*corner.find("camber shim")].minutes : 0.0);
            all.push_back(t);
        }
    return all;
}

/// Totals of two stacks that can be made at the same time: each shim goes left, right or stays in the box.
std::vector<std::pair<double, double>> both_at_once(const std::vector<double>& shims) {
    std::vector<std::pair<double, double>> pairs;
    const std::function<void(std::size_t, double, double)> put = [&](std::size_t i, double left, double right) {
        if (i == shims.size()) {
            const bool known = std::any_of(pairs.begin(), pairs.end(), [&](const auto& p) {
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

/// Whether a corner's plan is inside by what the search knows: this corner alone, its contact held. The whole car at
/// rest, by which a plan is told, may say otherwise.
bool inside(const std::vector<Tried>& all, const CornerPlan& plan) {
    return std::ranges::any_of(all, [&plan](const Tried& t) {
        return t.within && std::ranges::all_of(plan.settings, [&t](const PlannedSetting& planned) {
                   const double is = planned.key.ends_with("camber shim") ? t.total_mm : t.turns;
                   return std::fabs(planned.after - is) < 1e-9;
               });
    });
}

std::vector<double> all_shims(const Car& car, const std::string& box) {
    std::vector<double> shims = car.boxes_mm.at(box);
    for (const Corner& corner : car.corners)
        for (const Adjuster& adjuster : corner.adjusters)
            if (adjuster.stack() && adjuster.stack()->box == box)
                shims.insert(shims.end(), adjuster.stack()->fitted_mm.begin(), adjuster.stack()->fitted_mm.end());
    std::sort(shims.begin(), shims.end());
    return shims;
}

}  // namespace

TEST_CASE("the plan is the brute-force best of corners that share a box, closest and least work") {
    std::mt19937 random(11);
    const int cases = test_size("plans against brute force", 3, 30);
    int bound = 0;
    for (int i = 0; i < cases; ++i) {
        Morning m = small_morning();
        scatter(m, random);
        for (CornerReadings& corner : m.readings.corners) corner.flags_mm->front_mm = 41.0 + 0.2 * (i % 3);
        const Measured measured = m.measured();
        const Plan got = plan(m.car, measured, m.targets);
        for (const CornerId left : {CornerId::front_left, CornerId::rear_left}) {
            const auto right = static_cast<CornerId>(index(left) + 1);
            const auto pairs = both_at_once(all_shims(m.car, is_front(left) ? "front" : "rear"));
            std::vector<double> totals;
            for (const auto& [a, b] : pairs) totals.push_back(a);
            std::sort(totals.begin(), totals.end());
            totals.erase(
                std::unique(totals.begin(), totals.end(), [](double a, double b) { return std::fabs(a - b) < 1e-9; }),
                totals.end());
            const double thinnest = is_front(left) ? 0.2 : 0.5;
            const auto of_left = tried(m, measured, left, totals, thinnest);
            const auto of_right = tried(m, measured, right, totals, thinnest);
            double least_cost = 1e300;
            std::pair<double, double> least_work = {1e300, 1e300};
            const auto best_of = [](const std::vector<Tried>& all, double total, bool work) {
                std::pair<double, double> best = {1e300, 1e300};
                for (const Tried& t : all) {
                    if (std::fabs(t.total_mm - total) > 1e-9 || (work && !t.within)) continue;
                    best = std::min(best, work ? std::pair(t.minutes, t.cost) : std::pair(t.cost, 0.0));
                }
                return best;
            };
            for (const auto& [a, b] : pairs) {
                least_cost = std::min(least_cost, best_of(of_left, a, false).first + best_of(of_right, b, false).first);
                const auto work_a = best_of(of_left, a, true), work_b = best_of(of_right, b, true);
                least_work = std::min(least_work, {work_a.first + work_b.first, work_a.second + work_b.second});
            }
            const CornerPlan& one = got.closest.corners[index(left)];
            const CornerPlan& two = got.closest.corners[index(right)];
            INFO("case " << i << ", " << corner_names[index(left)]);
            CHECK_NEAR(one.cost + two.cost, least_cost, 1e-7 * (1.0 + least_cost));
            CHECK(one.proof.on == EvaluatedOn::nonlinear_model);
            CHECK(one.proof.proven);
            CHECK(one.proof.evaluated == one.proof.combinations);
            bound += one.proof.stock_bound || two.proof.stock_bound ? 1 : 0;
            if (got.least_work) {
                // Inside the guard band there are fewer plans: never less work than in the whole tolerance.
                const CornerPlan& w1 = got.least_work->corners[index(left)];
                const CornerPlan& w2 = got.least_work->corners[index(right)];
                CHECK(inside(of_left, w1));
                CHECK(inside(of_right, w2));
                CHECK(w1.minutes + w2.minutes >= least_work.first - 1e-9);
                if (!w1.guarded && !w2.guarded) CHECK_NEAR(w1.minutes + w2.minutes, least_work.first, 1e-9);
            } else {
                CHECK_FALSE(got.refusals.empty());
            }
        }
        // Nothing is made or lost.
        const Car after = car_after(m.car, got, Which::closest);
        for (const char* box : {"front", "rear"}) {
            const auto was = all_shims(m.car, box), is = all_shims(after, box);
            REQUIRE(was.size() == is.size());
            for (std::size_t s = 0; s < was.size(); ++s) CHECK_NEAR(is[s], was[s], 1e-9);
        }
    }
    CHECK(bound > 0);  // the shared stock did bind somewhere
}

TEST_CASE("least work is the brute-force one, ties by cost, and leaves alone what is near enough") {
    Morning m = small_morning();
    m.car.instruments = {};  // no guard band: every plan in tolerance may be picked
    m.car.settling = {};
    const Measured measured = m.measured();
    for (const CornerId id : all_corners) {
        const std::string name(corner_names[index(id)]);
        m.thread(id, is_front(id) ? "track rod" : "toe link").settable_turns = 0.0;
        Stack& stack = m.stack(id, "camber shim");
        stack.thickness_uncertainty_mm = 0.0;
        stack.box.clear();
        stack.box_mm = {0.2, 0.5};
        m.target(id, Output::camber).value = *measured.value(name + ".camber") + 0.03;
        if (!is_front(id)) m.target(id, Output::toe).value = *measured.value(name + ".toe") + 0.03;
    }
    const Plan got = plan(m.car, measured, m.targets);
    REQUIRE(got.least_work);
    CHECK(got.least_work->minutes < got.closest.minutes);
    std::vector<double> totals;
    for (const auto& [total, rest] : both_at_once({2.0, 1.0, 0.2, 0.5}))
        if (rest == 0.0) totals.push_back(total);
    for (const CornerId id : all_corners) {
        INFO(corner_names[index(id)]);
        std::pair<double, double> least = {1e300, 1e300};
        for (const Tried& t : tried(m, measured, id, totals, 0.2))
            if (t.within) least = std::min(least, std::pair(t.minutes, t.cost));
        const CornerPlan& corner = got.least_work->corners[index(id)];
        CHECK_NEAR(corner.minutes, least.first, 1e-9);
        CHECK_NEAR(corner.cost, least.second, 1e-7);
        CHECK(corner.minutes == (is_front(id) ? 4.0 : 0.0));
    }
}

TEST_CASE("rounding the real answer is worse than the plan, and out of tolerance where the plan is in") {
    Morning m = small_morning();
    std::mt19937 random(5);
    int rescued = 0;
    for (const CornerId id : all_corners) {
        Thread& rod = m.thread(id, is_front(id) ? "track rod" : "toe link");
        rod.limits_turns = {-2.0, 2.0};
        rod.step_turns = 1.0 / 12.0;  // half a flat
    }
    m.car.boxes_mm["front"] = m.car.boxes_mm["rear"] = {0.3, 0.3, 0.3, 0.6, 0.6, 0.6, 1.2, 1.2};
    for (int i = 0; i < 6; ++i) {
        scatter(m, random);
        const Measured measured = m.measured();
        const Plan got = plan(m.car, measured, m.targets);
        for (const CornerId id : all_corners) {
            const Corner& corner = m.car[id];
            const std::size_t rod = *corner.find(is_front(id) ? "track rod" : "toe link");
            const std::size_t shim = *corner.find("camber shim");
            const Rates r =
                rates(setup(corner), measured.ground.hold(), measured.ground.held_value(), measured.ground.frame);
            const auto targets = targets_by_name(m.targets, ValueId::Of::corner, index(id));
            const std::string name(corner_names[index(id)]);
            const double toe = *targets.at("toe").value - *measured.value(name + ".toe");
            const double camber = *targets.at("camber").value - *measured.value(name + ".camber");
            const double a = r.per_mm[rod][index(Output::toe)], b = r.per_mm[shim][index(Output::toe)];
            const double c = r.per_mm[rod][index(Output::camber)], d = r.per_mm[shim][index(Output::camber)];
            const double rod_mm = (toe * d - camber * b) / (a * d - b * c);
            const double shim_mm = (camber * a - toe * c) / (a * d - b * c);
            Corner rounded = corner;
            const double lead = corner.adjusters[rod].thread()->lead_mm();
            std::get<Thread>(rounded.adjusters[rod].setting).now_turns = std::round(rod_mm / lead * 12.0) / 12.0;
            std::get<Stack>(rounded.adjusters[shim].setting).fitted_mm = {3.0 + std::round(shim_mm / 0.3) * 0.3};
            const Again read = again(m, measured, id, rounded);
            const double toe_off = (read.toe - *targets.at("toe").value) / targets.at("toe").tolerance;
            const double camber_off = (read.camber - *targets.at("camber").value) / targets.at("camber").tolerance;
            const CornerPlan& planned = got.closest.corners[index(id)];
            INFO("case " << i << ", " << name);
            if (!planned.proof.stock_bound) CHECK(planned.cost <= toe_off * toe_off + camber_off * camber_off + 1e-3);
            const bool rounded_in = std::fabs(toe_off) <= 1.0 && std::fabs(camber_off) <= 1.0;
            rescued += planned.within && !rounded_in ? 1 : 0;
        }
    }
    CHECK(rescued > 0);
}

TEST_CASE("the linear model first finds what trying everything finds, caster and its legs included") {
    std::mt19937 random(23);
    const int cases = test_size("linear model first against everything", 2, 12);
    for (int i = 0; i < cases; ++i) {
        Morning m = small_morning();
        scatter(m, random);
        for (const CornerId id : {CornerId::front_left, CornerId::front_right}) {
            m.target(id, Output::caster) = {};
            m.target(id, Output::caster).value = 4.9;
            m.target(id, Output::caster).tolerance = 0.2;
            for (const char* leg : {"upper front leg", "upper rear leg"}) m.thread(id, leg).limits_turns = {-1.0, 1.0};
        }
        const Measured measured = m.measured();
        const Plan all = plan(m.car, measured, m.targets);
        const Plan first = plan(m.car, measured, m.targets, {.enumerate_at_most = 10.0, .linear_best = 50});
        CHECK(all.least_work.has_value() == first.least_work.has_value());
        for (std::size_t c = 0; c < corner_count; ++c) {
            INFO("case " << i << ", " << corner_names[c]);
            const CornerPlan& a = all.closest.corners[c];
            const CornerPlan& b = first.closest.corners[c];
            CHECK(a.proof.on == EvaluatedOn::nonlinear_model);
            CHECK(b.proof.on == EvaluatedOn::linear_model_first);
            CHECK(b.proof.proven);
            CHECK(b.proof.neighbours > 0);
            CHECK_NEAR(b.cost, a.cost, 1e-9);
            if (all.least_work && first.least_work) {
                CHECK_NEAR(first.least_work->corners[c].minutes, all.least_work->corners[c].minutes, 1e-9);
                CHECK_NEAR(first.least_work->corners[c].cost, all.least_work->corners[c].cost, 1e-9);
            }
        }
    }
}

TEST_CASE("of hundreds of thousands of combinations the linear model first finds the very best and the second") {
    Morning m = wren_morning();
    const double most_turns = test_size("turns of the caster legs, half turns each way of 3e6 combinations", 1, 3);
    for (const CornerId id : {CornerId::front_left, CornerId::front_right}) {
        m.target(id, Output::caster) = {};
        m.target(id, Output::caster).value = 5.2;
        m.target(id, Output::caster).tolerance = 0.2;
        for (const char* leg : {"upper front leg", "upper rear leg"})
            m.thread(id, leg).limits_turns = {-most_turns, most_turns};
    }
    const Measured measured = m.measured();
    const Plan first = plan(m.car, measured, m.targets);
    const Plan all = plan(m.car, measured, m.targets, {.enumerate_at_most = 1e7, .linear_best = 50});
    REQUIRE(first.least_work);
    REQUIRE(all.least_work);
    for (std::size_t c = 0; c < 2; ++c) {
        CHECK(first.closest.corners[c].proof.on == EvaluatedOn::linear_model_first);
        CHECK(all.closest.corners[c].proof.evaluated > 400'000);
        CHECK_NEAR(first.closest.corners[c].cost, all.closest.corners[c].cost, 1e-9);
        CHECK_NEAR(*first.closest.corners[c].proof.second_cost, *all.closest.corners[c].proof.second_cost, 1e-9);
        CHECK_NEAR(first.least_work->corners[c].minutes, all.least_work->corners[c].minutes, 1e-9);
        CHECK_NEAR(first.least_work->corners[c].cost, all.least_work->corners[c].cost, 1e-9);
    }
}
