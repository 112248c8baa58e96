// What a person wants otherwise: each option does what it says, and contradictions have their sentence.
#include <algorithm>
#include <cmath>
#include <limits>

#include "catch.hpp"
#include "workshop/choose/plan_cases.hpp"

using namespace shimwise;

namespace {

double change(const Choice& choice, const std::string& name) {
    const PlannedSetting* setting = setting_of(choice, name);
    return setting ? setting->after - setting->before : 0.0;
}

bool touches(const Choice& choice, const std::string& name) {
    return std::ranges::count(touched_keys(choice), name) > 0;
}

bool all_of(const std::string& sentence, const Names& words) {
    return std::ranges::all_of(words,
                               [&](const std::string& word) { return sentence.find(word) != std::string::npos; });
}

}  // namespace

TEST_CASE("what is forbidden is left alone: by key, by corner, by purpose") {
    const Morning m = wren_morning();
    const Plan free = plan_of(m);
    const Plan key = plan_of(m, with(&PlanOptions::forbid, {"front_left.camber shim"}));
    CHECK_FALSE(touches(key.closest, "front_left.camber shim"));
    CHECK(key.closest.cost > free.closest.cost);
    const Plan corner = plan_of(m, with(&PlanOptions::forbid, {"rear_right"}));
    for (const std::string& touched : touched_keys(corner.closest)) CHECK_FALSE(touched.starts_with("rear_right"));
    const Plan purpose = plan_of(m, with(&PlanOptions::forbid, {"ride_height", "corner_weight"}));
    for (const std::string& touched : touched_keys(purpose.closest)) {
        INFO(touched);
        CHECK_FALSE((touched.ends_with("pushrod") || touched.ends_with("platform")));
    }
}

TEST_CASE("what is forced is set so, and the rest is planned about it") {
    const Morning m = wren_morning();
    PlanOptions options;
    options.force = {{"front_left.pushrod", Words("+1 turn")}, {"rear_left.camber shim", Words("=3.5 mm")}};
    const Plan got = plan_of(m, options);
    const auto check = [](const Choice& choice) {
        CHECK_NEAR(change(choice, "front_left.pushrod"), 1.0, 1e-12);
        CHECK_NEAR(setting_of(choice, "rear_left.camber shim")->after, 3.5, 1e-9);
    };
    check(got.closest);
    if (got.least_work) check(*got.least_work);
    CHECK(got.closest.cost > plan_of(m).closest.cost);
    // A forced car met by the nonlinear one.
    const AtRest at_rest(m);
    const RestValues<double> is = at_rest.of(with_settings(m.car, settings_after(m.car, got, Which::closest)));
    for (const PlannedValue& value : got.closest.values) CHECK_NEAR(value.then, at_rest.read(value.id, is), 1e-9);
}

TEST_CASE("what is forced is never done without, though the search of the least work ends early") {
    const Morning m = wren_morning();
    PlanOptions options;
    options.force = {{"front_left.camber shim", Words("=0 mm")}};
    const Plan found = plan_of(m, options);
    REQUIRE(found.least_work);
    CHECK_FALSE(found.least_work_proven);
    for (const Choice& choice : {found.closest, *found.least_work}) {
        const PlannedSetting* shim = setting_of(choice, "front_left.camber shim");
        REQUIRE(shim);
        CHECK_NEAR(shim->after, 0.0, 1e-9);
    }
}

TEST_CASE("ties turn by equal steps: the best of all that do") {
    Morning m = wren_morning();
    // Front toe alone by two rods tied: the mean is set, the difference stays.
    m.targets.values.clear();
    for (const CornerId id : front_corners)
        m.targets.values[{id, Output::toe}] = wren_morning().target(id, Output::toe);
    PlanOptions options = with(&PlanOptions::forbid, {"rear_left", "rear_right", "camber", "caster", "ride_height",
                                                      "corner_weight", "bar_free"});
    options.tie = {{"front_left.track rod", "front_right.track rod"}};
    const AtRest at_rest(m);
    const Plan got = plan(m.car, at_rest.measured, m.targets, options);
    const double left = change(got.closest, "front_left.track rod"),
                 right = change(got.closest, "front_right.track rod");
    CHECK_NEAR(left, right, 1e-12);
    CHECK(std::fabs(left) > 0.01);
    double best = 1e300;
    for (int k = -48; k <= 48; ++k) {
        Car car = at_rest.before;
        for (const CornerId id : front_corners) set(car, id, "track rod", k / 24.0);
        const RestValues<double> is = at_rest.of(car);
        double cost = 2e-6 * k * k;
        for (const auto& [id, target] : m.targets.values)
            cost += std::pow((at_rest.read(id, is) - *target.value) / target.tolerance, 2);
        best = std::min(best, cost);
    }
    // A step of a tie is a step of both, or one: a millionth each either way.
    CHECK_NEAR(got.closest.cost, best, 1e-6 * std::pow(24.0 * left, 2) + 1e-9);
    if (got.least_work)
        CHECK_NEAR(change(*got.least_work, "front_left.track rod"), change(*got.least_work, "front_right.track rod"),
                   1e-12);
}

TEST_CASE("a limit of minutes is a limit of every answer") {
    const Morning m = wren_morning();
    const Plan all = plan_of(m);
    double before = all.closest.cost;
    for (const double minutes : {60.0, 4.0, 0.0}) {
        INFO(minutes);
        PlanOptions options;
        options.within_minutes = minutes;
        const Plan got = plan_of(m, options);
        CHECK(got.closest.minutes <= minutes + 1e-9);
        CHECK(got.closest.cost >= before - 1e-9);
        before = got.closest.cost;
        if (got.least_work) CHECK(got.least_work->minutes <= minutes + 1e-9);
    }
    PlanOptions plenty;
    plenty.within_minutes = all.closest.minutes;
    CHECK_NEAR(plan_of(m, plenty).closest.cost, all.closest.cost, 1e-9);
}

TEST_CASE("within its minutes the plan is the best of every two adjusters") {
    // Of four pushrods two may be turned: 6 pairs of 9 by 9.
    Morning m = wren_morning();
    for (auto it = m.targets.values.begin(); it != m.targets.values.end();)
        it = it->first.of == ValueId::Of::ride_height ? std::next(it) : m.targets.values.erase(it);
    PlanOptions options = with(&PlanOptions::forbid, {"toe", "camber", "caster", "corner_weight", "bar_free"});
    options.free = {"front_difference", "rear_difference", "front_left.caster", "front_right.caster", "caster"};
    options.within_minutes = 8.0;
    for (const CornerId id : all_corners) {
        Thread& rod = m.thread(id, "pushrod");
        rod.lock_turns = rod.step_turns = 1.0 / 6.0;
        rod.limits_turns = {-4.0 / 6.0, 4.0 / 6.0};
    }
    const AtRest at_rest(m);
    const Plan got = plan(m.car, at_rest.measured, m.targets, options);
    double best = 1e300;
    for (std::size_t a = 0; a < 4; ++a)
        for (std::size_t b = a + 1; b < 4; ++b)
            for (int i = -4; i <= 4; ++i)
                for (int k = -4; k <= 4; ++k) {
                    Car car = at_rest.before;
                    set(car, all_corners[a], "pushrod", i / 6.0);
                    set(car, all_corners[b], "pushrod", k / 6.0);
                    const RestValues<double> is = at_rest.of(car);
                    double cost = 1e-6 * (i * i + k * k);
                    for (const auto& [id, target] : m.targets.values)
                        cost += std::pow((at_rest.read(id, is) - *target.value) / target.tolerance, 2);
                    best = std::min(best, cost);
                }
    CHECK_NEAR(got.closest.cost, best, 1e-9 * (1.0 + best));
    CHECK(got.closest.minutes <= 8.0);
}

TEST_CASE("of plans of the same minutes the one that turns what is preferred") {
    Morning m = wren_morning();
    const Measured measured = m.measured();
    for (auto& [id, target] : m.targets.values)
        if (const auto reads = measured.value(id)) target.value = *reads;
    // Front total toe alone is off: where the wheels need not share it, either rod sets it.
    m.targets.values.clear();
    Target total;
    total.value = *measured.value("total_toe_front") - 0.3;
    total.tolerance = 0.1;
    m.targets.values[ValueId(CarOutput::total_toe_front)] = total;
    for (const char* corner : {"front_left", "front_right"}) {
        const std::string key = std::string(corner) + ".track rod";
        INFO(key);
        const PlanOptions options = with(&PlanOptions::prefer, {key}, with(&PlanOptions::free, {"toe"}));
        const Plan got = plan(m.car, measured, m.targets, options);
        REQUIRE(got.least_work);
        CHECK(touched_keys(*got.least_work) == Names{key});
    }
}

TEST_CASE("legs come in by turn, and what nobody asked for stays within its tolerance") {
    const Morning m = wren_morning();
    CHECK(setting_of(plan_of(m).closest, "front_left.upper front leg") == nullptr);
    const Plan got = plan_of(m, with(&PlanOptions::turn, {"front_left.upper front leg"}));
    REQUIRE(setting_of(got.closest, "front_left.upper front leg"));
    const PlannedValue* caster = planned(got.closest, "front_left.caster");
    REQUIRE(caster);
    CHECK(caster->then >= 4.0);
}

TEST_CASE("options that name nothing, or contradict each other, have a sentence each") {
    const Morning m = wren_morning();
    const auto with_force = [](const std::string& key, const Words& words) {
        PlanOptions options;
        options.force = {{key, words}};
        return options;
    };
    const auto tied = [](const std::vector<Names>& ties) {
        PlanOptions options;
        options.tie = ties;
        return options;
    };
    const auto minutes = [](double most) {
        PlanOptions options;
        options.within_minutes = most;
        return options;
    };
    const auto share = [](double model_share) {
        PlanOptions options;
        options.model_share = model_share;
        return options;
    };
    PlanOptions turn_and_forbid = with(&PlanOptions::turn, {"corner_weight"});
    turn_and_forbid.forbid = {"front_left.spring platform"};
    PlanOptions prefer_and_forbid = with(&PlanOptions::prefer, {"camber"});
    prefer_and_forbid.forbid = {"front_left.camber shim"};
    PlanOptions keep_and_free = with(&PlanOptions::keep, {"rear_difference"});
    keep_and_free.free = {"rear_difference"};
    PlanOptions force_and_forbid = with_force("front_left.pushrod", "+1 turn");
    force_and_forbid.forbid = {"front_left.pushrod"};
    PlanOptions force_and_time = with_force("front_left.camber shim", "=3.5 mm");
    force_and_time.within_minutes = 5.0;
    PlanOptions force_and_tie = with_force("front_left.track rod", "+1 turn");
    force_and_tie.force.emplace("front_right.track rod", Words("-1 turn"));
    force_and_tie.tie = {{"front_left.track rod", "front_right.track rod"}};
    const double nan = std::numeric_limits<double>::quiet_NaN();

    const std::vector<std::pair<PlanOptions, Names>> asks = {
        {with(&PlanOptions::keep, {"ride_hight"}), {"keep", "ride_hight"}},
        {with(&PlanOptions::free, {"front_left.tow"}), {"free", "front_left.tow"}},
        {with(&PlanOptions::free, {"toe"}), {"free", "toe", "is asked for in the targets"}},
        {with(&PlanOptions::keep, {"cross_weight"}), {"keep", "cross_weight", "no common tolerance"}},
        {prefer_and_forbid, {"prefer", "front_left.camber shim", "forbid"}},
        {with(&PlanOptions::turn, {"front_left.pushrood"}), {"turn", "front_left.pushrood"}},
        {with(&PlanOptions::forbid, {"front_middle"}), {"forbid", "front_middle"}},
        {with(&PlanOptions::prefer, {"speed"}), {"prefer", "speed"}},
        {with_force("front_left.nothing", "+1 turn"), {"force", "front_left.nothing"}},
        {with_force("front_left.pushrod", "a bit"), {"front_left.pushrod", "a bit"}},
        {with_force("front_left.pushrod", "+9 turns"), {"front_left.pushrod", "9"}},
        {with_force("front_left.camber shim", "=3.25 mm"), {"front_left.camber shim", "3.25"}},
        {tied({{"front_left.track rod"}}), {"tie", "front_left.track rod"}},
        {tied({{"front_left.track rod", "front_left.track rod"}}), {"tie", "front_left.track rod"}},
        {tied({{"front_left.track rod", "front_right.track rod"}, {"front_left.track rod", "rear_left.toe link"}}),
         {"tie", "front_left.track rod"}},
        {minutes(-1.0), {"within_minutes", "-1"}},
        {minutes(nan), {"within_minutes", "nan"}},
        {share(-0.1), {"model_share", "-0.1"}},
        {share(nan), {"model_share", "nan"}},
        {turn_and_forbid, {"front_left.spring platform"}},
        {keep_and_free, {"rear_difference"}},
        {force_and_forbid, {"front_left.pushrod", "forbid"}},
        {force_and_time, {"within_minutes", "5"}},
        {force_and_tie, {"front_left.track rod", "front_right.track rod"}},
    };
    for (std::size_t i = 0; i < asks.size(); ++i) {
        const std::string sentence = refusal_of(m, asks[i].first);
        INFO("ask " << i << ": " << sentence);
        CHECK_FALSE(sentence.empty());
        CHECK(all_of(sentence, asks[i].second));
    }
    // All at once, a line each.
    PlanOptions two = with(&PlanOptions::keep, {"ride_hight"});
    two.forbid = {"front_middle"};
    CHECK(all_of(refusal_of(m, two), {"ride_hight", "front_middle", "\n"}));
}

TEST_CASE("what is turned alike is as sure tied as untied") {
    const Morning m = wren_morning();
    PlanOptions untied;
    for (const char* key : {"front_left.track rod", "front_right.track rod"})
        untied.force.emplace(key, Words("+1 flat"));
    PlanOptions tied = untied;
    tied.tie = {{"front_left.track rod", "front_right.track rod"}};
    const NextReading one = plan_of(m, untied).closest.next, other = plan_of(m, tied).closest.next;
    REQUIRE(one.ids == other.ids);
    CHECK_NEAR((one.covariance - other.covariance).norm(), 0.0, 1e-12);
}

TEST_CASE("a pack has no steps that a rod could share: they are not tied") {
    PlanOptions options;
    options.tie = {{"front_left.track rod", "front_left.camber shim"}};
    CHECK(all_of(refusal_of(wren_morning(), options), {"tie", "front_left.camber shim"}));
}

TEST_CASE("half an hour's limit ends") {
    PlanOptions options;
    for (const double minutes : {40.0, 16.0, 8.0}) {
        options.within_minutes = minutes;
        CHECK(plan_of(wren_morning(), options).closest.minutes <= minutes + 1e-9);
    }
}
