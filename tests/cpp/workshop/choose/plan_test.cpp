#include "shimwise/workshop/choose/plan.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/rest/solve.hpp"
#include "size.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

const std::array<CornerId, 4> all_corners = {CornerId::front_left, CornerId::front_right, CornerId::rear_left,
                                             CornerId::rear_right};

/// Few enough settings that everything can be tried again by other means.
Morning small_morning() {
    Morning m = wren_morning();
    for (const CornerId id : all_corners) {
        m.thread(id, is_front(id) ? "track rod" : "toe link").limits_turns = {-0.5, 0.5};
        m.stack(id, "camber shim").fitted_mm = {2.0, 1.0};
    }
    m.car.boxes_mm["front"] = {0.2, 0.5};
    m.car.boxes_mm["rear"] = {0.5, 1.0};
    for (CornerReadings& corner : m.readings.corners) corner.shims_mm.clear();
    return m;
}

/// Flags and camber off by a few steps, the same for every machine.
void scatter(Morning& m, std::mt19937& random) {
    for (CornerReadings& corner : m.readings.corners) {
        const auto steps = [&random](int most) {
            return static_cast<int>(random() % (2U * static_cast<unsigned>(most) + 1U)) - most;
        };
        corner.flags_mm = Flags{41.0 + 0.2 * steps(15), 40.0};
        corner.camber_deg->facing += 0.02 * steps(12);
    }
}

/// What a corner reads with other settings, by the whole model: measured + (after - before).
struct Again {
    double toe, camber, caster;
};
Again again(const Morning& m, const Measured& measured, CornerId id, const Corner& after) {
    const Hold hold = measured.ground.hold();
    const double value = measured.ground.held_value();
    const Outputs<double> was = outputs_at(setup(m.car[id]), hold, value, measured.ground.frame);
    const Outputs<double> is = outputs_at(setup(after), hold, value, measured.ground.frame);
    const std::string corner(corner_names[index(id)]);
    const auto at = [&](Output o, const char* name) {
        const double change = is[index(o)] - was[index(o)];
        return measured.value(corner + "." + name).value_or(was[index(o)]) + change;
    };
    return {at(Output::toe, "toe"), at(Output::camber, "camber"), at(Output::caster, "caster")};
}

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

double setting_of(const CornerPlan& corner, const std::string& ending) {
    for (const PlannedSetting& setting : corner.settings)
        if (setting.key.ends_with(ending)) return setting.after;
    return std::nan("");
}

const PlannedOutput& output_of(const CornerPlan& corner, const std::string& ending) {
    return *std::find_if(corner.outputs.begin(), corner.outputs.end(),
                         [&](const PlannedOutput& o) { return key(o.id).ends_with(ending); });
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
                CHECK(w1.within);
                CHECK(w2.within);
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

TEST_CASE("the plan done again by its own settings meets its prediction to 1e-9") {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    const Plan got = plan(m.car, measured, m.targets);
    CHECK(got.closest.within);
    REQUIRE(got.least_work);
    CHECK(got.refusals.empty());
    for (const Which which : {Which::closest, Which::least_work}) {
        const Car after = with_settings(m.car, settings_after(m.car, got, which));  // throws where a limit is broken
        const RestValues<double> was = rest(rest_model(m.car)).values, is = rest(rest_model(after)).values;
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

TEST_CASE("a target out of reach is refused with the nearest and with what binds, and no limit is broken") {
    Morning m = wren_morning();
    m.target(CornerId::front_left, Output::camber).value = -6.0;
    m.thread(CornerId::rear_left, "toe link").limits_turns = {-0.05, 0.05};
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK_FALSE(got.least_work);
    REQUIRE(got.refusals.size() == 2);
    CHECK(said(got.refusals, "front_left", "camber -6.000 deg", "cannot be met", "the nearest",
               "front_left.camber shim", "thinner than no shim"));
    CHECK(said(got.refusals, "rear_left.toe link", "limits_turns", "allowed are -0.05 to 0.05"));
    CHECK_FALSE(got.closest.corners[index(CornerId::front_left)].within);
    CHECK(got.closest.corners[index(CornerId::front_right)].within);
    const Car after = car_after(m.car, got, Which::closest);
    for (const CornerId id : all_corners)
        for (const Adjuster& adjuster : after[id].adjusters)
            CHECK_FALSE(broken_limit(after, id, adjuster, present_setting(adjuster)));
    CHECK_THROWS_AS(settings_after(m.car, got, Which::least_work), OutOfReach);
}

TEST_CASE("the limit of a stack is named") {
    Morning m = wren_morning();
    m.target(CornerId::rear_right, Output::camber).value = 2.0;
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK(said(got.refusals, "rear_right", "rear_right.camber shim", "limits_mm", "allowed are 0 to 6"));
    CHECK(setting_of(got.closest.corners[index(CornerId::rear_right)], ".camber shim") <= 6.0 + 1e-9);
}

TEST_CASE("too few shims at hand are named") {
    Morning m = wren_morning();
    m.car.boxes_mm["front"].clear();
    for (CornerReadings& corner : m.readings.corners) corner.shims_mm.clear();
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK(said(got.refusals, "front_left", "shims at hand"));
}

TEST_CASE("thread engagement binds like any other limit") {
    Morning m = wren_morning();
    Thread& link = m.thread(CornerId::rear_right, "toe link");
    link.limits_turns.reset();
    link.engaged_mm = {12.5, 12.5};
    link.least_engaged_mm = 12.3;  // left- and right-hand ends lose 1.25 mm a turn: 0.16 turn is left
    const Plan got = plan(m.car, m.measured(), m.targets);
    CHECK(said(got.refusals, "rear_right", "least_engaged_mm", "too little thread"));
    CHECK(setting_of(got.closest.corners[index(CornerId::rear_right)], ".toe link") <= 0.16 + 1e-9);
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
