// That the plan is the best one: against every combination on the nonlinear car, by loops and a cost of the test's own.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "catch.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "size.hpp"
#include "workshop/choose/plan_cases.hpp"
#include "workshop/choose/plan_scatter.hpp"

using namespace shimwise;

namespace {

/// What may be set of one adjuster, in the test's own steps.
struct Values {
    CornerId corner;
    std::string name;
    std::vector<double> amounts;
    double present = 0.0, step = 0.0, minutes = 0.0;
};

/// A morning cut to a few adjusters, and what is in its cost.
struct Cut {
    Morning m;
    PlanOptions options;
    std::vector<Values> values;
    std::vector<std::string> asked;
};

struct Tried {
    std::vector<double> amounts;
    double cost = 0.0, minutes = 0.0;
    bool limits_kept = true, within = true;
};

/// Nine whole steps of a thread about how it stands.
void cut_thread(Cut& cut, CornerId id, const std::string& name, double step) {
    Thread& thread = cut.m.thread(id, name);
    thread.lock_turns = thread.step_turns = step;
    thread.limits_turns = {-4.0 * step, 4.0 * step};
    Values values{id, name, {}, 0.0, step, cut.m.adjuster(id, name).minutes};
    for (int k = -4; k <= 4; ++k) values.amounts.push_back(k * step);
    cut.values.push_back(values);
}

/// Nine totals of a pack with a box of its own.
void cut_stack(Cut& cut, CornerId id, double thin) {
    Stack& stack = cut.m.stack(id, "camber shim");
    stack.box.clear();
    stack.fitted_mm = {8.0 * thin};
    stack.box_mm = {thin, 2.0 * thin, 4.0 * thin};
    stack.limits_mm = {5.0 * thin, 13.0 * thin};
    cut.values.push_back({id, "camber shim",
                          all_totals({8.0 * thin, thin, 2.0 * thin, 4.0 * thin}, 5.0 * thin, 13.0 * thin), 8.0 * thin,
                          thin, cut.m.adjuster(id, "camber shim").minutes});
}

void want_only(Cut& cut, const std::vector<std::string>& names) {
    cut.asked = names;
    std::map<ValueId, Target> all = cut.m.targets.values;
    cut.m.targets.values.clear();
    for (const std::string& name : names) {
        const ValueId id = id_of(cut.m, name);
        cut.m.targets.values[id] = all[id];
    }
}

/// Everything else is left alone.
void forbid_others(Cut& cut) {
    std::set<std::string> own;
    for (const Values& v : cut.values) own.insert(at(v.corner, v.name));
    for (const CornerId id : all_corners)
        for (const Adjuster& adjuster : cut.m.car[id].adjusters)
            if (!own.contains(at(id, adjuster.name))) cut.options.forbid.push_back(at(id, adjuster.name));
}

/// Four adjusters by nine values: rods and packs of an axle, all four pushrods, or one corner with its legs.
Cut cut_morning(int kind, std::mt19937& random) {
    Cut cut;
    cut.m = wren_morning();
    go_off(cut.m, random);
    for (CornerReadings& corner : cut.m.readings.corners) corner.shims_mm.clear();
    const double size = random() % 2 == 0 ? 1.0 : 0.2;  // coarse steps reach a degree, fine ones a tolerance
    if (kind == 0 || kind == 1) {
        for (const CornerId id : kind == 0 ? front_corners : rear_corners) {
            cut_thread(cut, id, toe_rod(id), size / 6.0);
            cut_stack(cut, id, size);
        }
        want_only(cut, kind == 0 ? std::vector<std::string>{"front_left.toe", "front_right.toe", "front_left.camber",
                                                            "front_right.camber"}
                                 : std::vector<std::string>{"rear_left.toe", "rear_right.toe", "rear_left.camber",
                                                            "rear_right.camber"});
    } else if (kind == 2) {
        for (const CornerId id : all_corners) cut_thread(cut, id, "pushrod", size * 0.5);
        want_only(cut, {"ride_height.front_left", "ride_height.front_right", "ride_height.rear_left",
                        "ride_height.rear_right", "front_difference"});
    } else {
        const CornerId id = CornerId::front_right;
        cut_thread(cut, id, "track rod", size / 6.0);
        cut_stack(cut, id, size);
        for (const char* leg : {"upper front leg", "upper rear leg"}) cut_thread(cut, id, leg, 0.5);
        Target& caster = cut.m.target(id, Output::caster);
        caster.value = 5.0;
        caster.tolerance = 0.25;
        want_only(cut, {"front_right.toe", "front_right.camber", "front_right.caster"});
    }
    forbid_others(cut);
    return cut;
}

Car set_so(const Cut& cut, const Car& before, const std::vector<double>& amounts) {
    Car car = before;
    for (std::size_t i = 0; i < amounts.size(); ++i) set(car, cut.values[i].corner, cut.values[i].name, amounts[i]);
    return car;
}

/// Wanted is what some combination reads, and a part of a tolerance beside it: then there is one inside.
void plant(Cut& cut, std::mt19937& random) {
    const AtRest at_rest(cut.m);
    std::vector<double> amounts;
    for (const Values& v : cut.values) amounts.push_back(v.amounts[random() % v.amounts.size()]);
    const RestValues<double> is = at_rest.of(set_so(cut, at_rest.before, amounts));
    for (auto& [id, target] : cut.m.targets.values)
        target.value = at_rest.read(id, is) + 0.6 * target.tolerance * draw(random);
}

bool stays(const PlannedValue& value, double then) {
    if (value.asks == Asks::let_go) return true;
    const Target& t = value.target;
    if (value.asks == Asks::asked) return !(t.least && then < *t.least) && !(t.most && then > *t.most);
    return meets(t, then);
}

/// Every combination on the nonlinear car. What the plan keeps is kept; what is in the cost is the test's own list.
std::vector<Tried> all_combinations(const Cut& cut, const AtRest& at_rest, const Choice& told) {
    std::vector<Tried> all;
    std::vector<std::size_t> at(cut.values.size(), 0);
    while (true) {
        Tried one;
        for (std::size_t i = 0; i < at.size(); ++i) {
            const Values& v = cut.values[i];
            one.amounts.push_back(v.amounts[at[i]]);
            const double steps = (v.amounts[at[i]] - v.present) / v.step;
            one.cost += 1e-6 * steps * steps;
            one.minutes += std::fabs(steps) > 1e-9 ? v.minutes : 0.0;
        }
        RestValues<double> is;
        try {
            is = at_rest.of(set_so(cut, at_rest.before, one.amounts));
        } catch (const OutOfReach&) {
            one.limits_kept = false;  // a wheel that stands upright has no one contact
        }
        for (const std::string& name : cut.asked) {
            const ValueId id = id_of(cut.m, name);
            const Target& target = cut.m.targets.values.at(id);
            const double off = (at_rest.read(id, is) - *target.value) / target.tolerance;
            one.cost += off * off;
            one.within = one.within && std::fabs(off) <= 1.0;
        }
        for (const PlannedValue& value : told.values)
            one.limits_kept = one.limits_kept && stays(value, at_rest.read(value.id, is));
        all.push_back(one);
        std::size_t i = 0;
        while (i < at.size() && ++at[i] == cut.values[i].amounts.size()) at[i++] = 0;
        if (i == at.size()) return all;
    }
}

std::vector<double> amounts_of(const Cut& cut, const Choice& choice) {
    std::vector<double> amounts;
    for (const Values& v : cut.values) amounts.push_back(setting_of(choice, at(v.corner, v.name))->after);
    return amounts;
}

bool same(const std::vector<double>& a, const std::vector<double>& b) {
    return std::ranges::equal(a, b, [](double x, double y) { return std::fabs(x - y) < 1e-9; });
}

/// The chance of a combination, the next reading's scatter worked out by the test.
double chance_of(const Cut& cut, const AtRest& at_rest, const NextReading& like, const Tried& one) {
    const Car after = set_so(cut, at_rest.before, one.amounts);
    NextReading next = like;
    next.covariance = scatter_after(at_rest, at_rest.before, after, like.ids, 0.02);
    const RestValues<double> is = at_rest.of(after);
    for (std::size_t i = 0; i < like.ids.size(); ++i)
        next.predicted(static_cast<Eigen::Index>(i)) = at_rest.read(like.ids[i], is);
    return chance(next).value;
}

/// The two cheapest that break no limit.
std::array<const Tried*, 2> cheapest(const std::vector<Tried>& all) {
    std::array<const Tried*, 2> best = {nullptr, nullptr};
    for (const Tried& one : all) {
        if (!one.limits_kept) continue;
        if (best[0] == nullptr || one.cost < best[0]->cost)
            best[1] = std::exchange(best[0], &one);
        else if (best[1] == nullptr || one.cost < best[1]->cost)
            best[1] = &one;
    }
    return best;
}

/// Fewest minutes among combinations inside that are likely enough. At the very edge either answer will do.
struct Fewest {
    double surely = 1e300, perhaps = 1e300;
};
Fewest fewest_minutes(const Cut& cut, const AtRest& at_rest, const std::vector<Tried>& all, const Plan& got) {
    const double likely = chance(got.closest.next).value;
    const double enough = likely - std::min(0.05, 0.1 * likely);
    Fewest fewest;
    for (const Tried& one : all) {
        if (!one.within || !one.limits_kept || one.minutes >= fewest.surely) continue;
        const double passes = chance_of(cut, at_rest, got.closest.next, one);
        if (passes > enough + 2e-3) fewest.surely = one.minutes;
        if (passes > enough - 2e-3) fewest.perhaps = std::min(fewest.perhaps, one.minutes);
    }
    return fewest;
}

}  // namespace

TEST_CASE("closest and least work are the best of every combination on the nonlinear car") {
    const int cases = test_size("mornings against every combination", 4, 50);
    std::mt19937 random(2026);
    int inside = 0, less = 0, noticed = 0;
    for (int i = 0; i < cases; ++i) {
        Cut cut = cut_morning(i % 4, random);
        if (i / 4 % 2 == 0) plant(cut, random);
        const AtRest at_rest(cut.m);
        const Plan got = plan(cut.m.car, at_rest.measured, cut.m.targets, cut.options);
        INFO("case " << i);
        REQUIRE(got.closest.settings.size() == 4);
        for (const std::string& name : cut.asked) CHECK(asks_of(got.closest, name) == "asked");
        const std::vector<Tried> all = all_combinations(cut, at_rest, got.closest);
        REQUIRE(all.size() == 6561);

        const auto [best, second] = cheapest(all);
        REQUIRE(second != nullptr);
        CHECK_NEAR(got.closest.cost, best->cost, 1e-9 * (1.0 + best->cost));
        CHECK(got.closest.within == best->within);
        CHECK((same(amounts_of(cut, got.closest), best->amounts) || second->cost < best->cost + 1e-9));
        CHECK(got.closest.proof.proven);
        inside += got.closest.within ? 1 : 0;

        const Fewest fewest = fewest_minutes(cut, at_rest, all, got);
        CHECK(got.least_work.has_value() == (fewest.perhaps < 1e300));
        if (got.least_work) {
            CHECK(got.least_work->within);
            CHECK(got.least_work->minutes <= fewest.surely + 1e-9);
            CHECK(got.least_work->minutes >= fewest.perhaps - 1e-9);
            less += got.least_work->minutes < got.closest.minutes ? 1 : 0;
        }

        // A better plan that the planner may not take is noticed.
        const Values& v = cut.values[0];
        const double amount = best->amounts[0];
        if (amount == 0.0) continue;
        cut.m.thread(v.corner, v.name).limits_turns =
            amount > 0.0 ? std::pair(-4.0 * v.step, amount - v.step) : std::pair(amount + v.step, 4.0 * v.step);
        CHECK(plan_of(cut.m, cut.options).closest.cost > best->cost + 1e-9 * (1.0 + best->cost));
        ++noticed;
    }
    CHECK(inside > 0);
    CHECK(noticed > 0);
    CHECK((less > 0 || cases < 50));
}
