// What a plan says of the car once it is done: met by the nonlinear car, the same for its mirror image.
#include "shimwise/workshop/choose/plan.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/rest/solid.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "size.hpp"
#include "workshop/choose/plan_cases.hpp"

using namespace shimwise;

namespace {

/// No shim is made or lost, and nothing stands beyond a limit.
void check_done(const Morning& m, const Car& before, const Car& after) {
    for (const char* box : {"front", "rear"}) {
        const auto was = all_shims(before, box), is = all_shims(after, box);
        REQUIRE(was.size() == is.size());
        for (std::size_t s = 0; s < was.size(); ++s) CHECK_NEAR(is[s], was[s], 1e-9);
    }
    for (const CornerId id : all_corners)
        for (const Adjuster& adjuster : after[id].adjusters) {
            INFO(at(id, adjuster.name));
            CHECK_FALSE(broken_limit(m.car, id, adjuster, present_setting(adjuster)));
        }
}

std::vector<std::pair<Which, const Choice*>> choices_of(const Plan& plan) {
    std::vector<std::pair<Which, const Choice*>> all = {{Which::nothing, &plan.nothing},
                                                        {Which::closest, &plan.closest}};
    if (plan.least_work) all.emplace_back(Which::least_work, &*plan.least_work);
    return all;
}

bool adjusts(const std::vector<std::string>& keys, const std::string& ending) {
    return std::ranges::any_of(keys, [&ending](const std::string& key) { return key.ends_with(ending); });
}

}  // namespace

TEST_CASE("a plan carried out on the car at rest meets its prediction to 1e-9, value by value") {
    const int cases = test_size("plans carried out", 3, 20);
    std::mt19937 random(4);
    int compared = 0;
    for (int i = 0; i < cases; ++i) {
        Morning m = wren_morning();
        if (i > 0) go_off(m, random);
        const AtRest at_rest(m);
        const Plan got = plan(m.car, at_rest.measured, m.targets);
        for (const auto& [which, choice] : choices_of(got)) {
            INFO("case " << i << ", " << which_names[index(which)]);
            const Car after = with_settings(m.car, settings_after(m.car, got, which));
            const RestValues<double> is = at_rest.of(after);
            for (const PlannedValue& value : choice->values) {
                INFO(key(value.id));
                CHECK_NEAR(value.now, at_rest.read(value.id, at_rest.was), 1e-9);
                CHECK_NEAR(value.then, at_rest.read(value.id, is), 1e-9);
            }
            for (const CarValue& value : choice->whole.values) {
                INFO(key(value.id));
                if (!value.id.is(CarOutput::total_weight)) CHECK_NEAR(value.then, at_rest.read(value.id, is), 1e-9);
                ++compared;
            }
            CHECK(row(at_rest.of(car_after(m.car, got, which)), {ValueId(CarOutput::rake)}) ==
                  row(is, {ValueId(CarOutput::rake)}));
            check_done(m, at_rest.before, after);
        }
    }
    CHECK(compared > 20);
}

TEST_CASE("the demonstration comes inside with all that is asked, at 0.79 or better") {
    const Morning m = wren_morning();
    const Plan got = plan_of(m);
    CHECK(got.closest.within);
    REQUIRE(got.least_work);
    CHECK(got.least_work->within);
    CHECK(got.unread.empty());
    CHECK(chance(got.closest.next).value >= 0.79);
    CHECK(got.closest.proof.proven);
    CHECK(got.closest.proof.combinations > 1e20);
    for (const PlannedValue& value : got.closest.values)
        if (value.asks != Asks::let_go) CHECK(value.within);
    CHECK_FALSE(got.nothing.within);
}

TEST_CASE("cost, minutes and touch of a choice are those of its settings and values") {
    Morning m = wren_morning();
    const Plan got = plan_of(m);
    for (const auto& [which, choice] : choices_of(got)) {
        INFO(which_names[index(which)]);
        double cost = 0.0, minutes = 0.0;
        for (const PlannedValue& value : choice->values)
            if (value.asks == Asks::asked)
                cost += std::pow((value.then - *value.target.value) / value.target.tolerance, 2);
        for (const PlannedSetting& setting : choice->settings) {
            const Adjuster& adjuster = m.car[setting.corner].adjusters[setting.adjuster];
            CHECK(setting.key == at(setting.corner, adjuster.name));
            CHECK(setting.touched == (setting.after != setting.before || setting.shims.moved() > 0));
            CHECK_NEAR(setting.minutes, setting.touched ? adjuster.minutes : 0.0, 0.0);
            const double step = adjuster.thread() ? adjuster.thread()->step_turns : 0.1;  // the thinnest in the box
            const double steps = (setting.after - setting.before) / step;
            if (adjuster.thread()) CHECK_NEAR(steps, std::round(steps), 1e-9);
            cost += 1e-6 * steps * steps;
            minutes += setting.minutes;
        }
        CHECK_NEAR(choice->cost, cost, 1e-9 * (1.0 + cost));
        CHECK_NEAR(choice->minutes, minutes, 1e-12);
        CHECK(choice->touches == !touched_keys(*choice).empty());
    }
    CHECK_FALSE(got.nothing.touches);
    CHECK(got.closest.touches);
    CHECK(got.choice(Which::closest) == &got.closest);
    CHECK(std::ranges::count(got.closest.settings, CornerId::rear_left, &PlannedSetting::corner) == 3);
}

TEST_CASE("where everything reads as wanted nothing is touched") {
    Morning m = wren_morning();
    const Measured measured = m.measured();
    for (auto& [id, target] : m.targets.values)
        if (const auto reads = measured.value(id)) target.value = *reads;
    const Plan got = plan(m.car, measured, m.targets);
    CHECK_FALSE(got.closest.touches);
    CHECK_NEAR(got.closest.cost, 0.0, 1e-15);
    CHECK(got.closest.within);
    REQUIRE(got.least_work);
    CHECK_FALSE(got.least_work->touches);
    CHECK_NEAR(got.least_work->minutes, 0.0, 0.0);
    const BoxProbability likely = chance(got.nothing.next);
    CHECK(default_choice(got, {likely, likely, likely}) == Which::nothing);
}

TEST_CASE("a mirrored car gets the mirrored plan") {
    const int cases = test_size("mirrored mornings", 1, 12);
    std::mt19937 random(8);
    for (int i = 0; i < cases; ++i) {
        Morning m = wren_morning();
        if (i > 0) go_off(m, random);
        m.thread(CornerId::front_left, "pushrod").limits_turns = {-1.0, 2.0};
        m.thread(CornerId::rear_right, "toe link").now_turns = 0.5;
        const Plan one = plan_of(m), other = plan_of(mirrored(m));
        INFO("case " << i);
        // Boxes of shims are shared by both sides, so packs of one total may differ; the totals do not.
        for (const auto& [which, choice] : choices_of(one)) {
            const Choice* image = other.choice(which);
            REQUIRE(image);
            INFO(which_names[index(which)]);
            CHECK_NEAR(choice->cost, image->cost, 1e-7 * (1.0 + choice->cost));
            CHECK_NEAR(choice->minutes, image->minutes, 1e-9);
            REQUIRE(choice->settings.size() == image->settings.size());
            for (const PlannedSetting& setting : choice->settings) {
                INFO(setting.key);
                const PlannedSetting* mirror = setting_of(*image, mirrored_key(setting.key));
                REQUIRE(mirror);
                CHECK_NEAR(setting.after, mirror->after, 1e-9);
            }
            CHECK(choice->values.size() == image->values.size());
        }
        CHECK(one.least_work.has_value() == other.least_work.has_value());
        CHECK(one.held.size() == other.held.size());
        CHECK(one.notes.size() == other.notes.size());
    }
}

TEST_CASE("groups enter whole: rake beside four heights is a limit, and shown") {
    Morning m = wren_morning();
    const Plan got = plan_of(m);
    CHECK(asks_of(got.closest, "rake") == "limit");
    CHECK(said(got.notes, "rake", "limit"));
    for (const char* corner : {"front_left", "front_right", "rear_left", "rear_right"})
        CHECK(asks_of(got.closest, std::string("ride_height.") + corner) == "asked");
    CHECK(asks_of(got.closest, "front_difference") == "asked");
    CHECK(asks_of(got.closest, "front_left.caster") == "limit");  // a least
    // By itself it is asked for; with two heights it is not theirs.
    for (const char* corner : {"front_left", "front_right", "rear_left", "rear_right"})
        m.targets.values.erase(id_of(m, std::string("ride_height.") + corner));
    const Plan alone = plan_of(m);
    CHECK(asks_of(alone.closest, "rake") == "asked");
}

TEST_CASE("on solid struts the pushrods leave no wheel in the air") {
    Morning m = wren_morning();
    m.readings.struts_solid = true;
    for (CornerReadings& corner : m.readings.corners) corner.scale_kg.reset();
    m.targets.values.erase(ValueId(CarOutput::front_difference));
    const Plan found = plan_of(m);
    REQUIRE(found.closest.within);
    for (const CornerId id : all_corners) {
        const PlannedSetting* rod = setting_of(found.closest, at(id, "pushrod"));
        REQUIRE(rod);
        CHECK(std::fabs(rod->after - rod->before) < 1.0);
    }
    const Car before = as_read(m.car, found.measured.read);
    const auto rocking = [&](const Car& car) {
        return on_solid_struts(rest_model(car), *m.readings.pad_height_mm, drawn_struts_mm(car)).rocking_mm;
    };
    CHECK(std::fabs(rocking(car_after(m.car, found, Which::closest)) - rocking(before)) < 1.2);
}

TEST_CASE("a rake that its heights contradict is a limit that is named, with what remains") {
    Morning m = wren_morning();
    m.targets.values[ValueId(CarOutput::rake)].value = 20.0;
    const Plan got = plan_of(m);
    CHECK_FALSE(got.closest.within);
    CHECK_FALSE(got.least_work);
    CHECK(said(got.notes, "rake"));
    // What can be met is not given up for it, and it comes nearer itself.
    CHECK(default_choice(got) == Which::closest);
    for (const PlannedValue& value : got.closest.values)
        if (value.id.is(Output::toe) || value.id.is(Output::camber)) CHECK(value.within);
    const PlannedValue* rake = planned(got.closest, "rake");
    REQUIRE(rake);
    CHECK(std::fabs(rake->then - 20.0) < std::fabs(rake->now - 20.0));
}

TEST_CASE("front and rear difference cannot both be 0 where the centre of gravity lies to one side") {
    Morning m = wren_morning();
    Target rear;
    rear.value = 0.0;
    rear.tolerance = 1.0;
    m.targets.values[ValueId(CarOutput::rear_difference)] = rear;
    const AtRest at_rest(m);
    const Plan got = plan(m.car, at_rest.measured, m.targets);
    CHECK_FALSE(got.closest.within);
    CHECK_FALSE(got.least_work);
    CHECK(asks_of(got.closest, "front_difference") == "asked");
    // What the two sides weigh in all does not change: the sum of the differences is what it was.
    const PlannedValue *front = planned(got.closest, "front_difference"),
                       *back = planned(got.closest, "rear_difference");
    REQUIRE(front);
    REQUIRE(back);
    CHECK_NEAR(front->then + back->then, front->now + back->now, 1.0);  // less what roll moves
    CHECK(front->now + back->now > 2.0);
    CHECK((said(got.notes, "front_difference", "rear_difference") || said(got.notes, "front", "rear", "difference")));
}

TEST_CASE("what is known and not asked for is kept within its common tolerance") {
    Morning m = wren_morning();
    for (const CornerId id : front_corners) m.targets.values.erase({id, Output::caster});
    for (const CornerId id : all_corners)
        m.targets.values.erase(id_of(m, "ride_height." + std::string(corner_names[index(id)])));
    m.targets.values.erase(ValueId(CarOutput::rake));
    m.targets.values.erase(ValueId(CarOutput::front_difference));
    const Plan got = plan_of(m);
    for (const auto& [name, tolerance] :
         {std::pair("ride_height.front_left", 0.5), std::pair("ride_height.rear_right", 0.5),
          std::pair("front_left.caster", 0.25), std::pair("front_right.caster", 0.25)}) {
        INFO(name);
        const PlannedValue* kept = planned(got.closest, name);
        REQUIRE(kept);
        CHECK(kept->asks == Asks::kept);
        CHECK_NEAR(kept->target.tolerance, tolerance, 1e-12);
        CHECK_NEAR(*kept->target.value, kept->now, 1e-12);
        CHECK(std::fabs(kept->then - kept->now) <= tolerance + 1e-9);
        CHECK(kept->within);
    }
    for (const PlannedValue& value : got.closest.values) {
        INFO(key(value.id));
        if (value.asks == Asks::asked) CHECK((value.id.is(Output::toe) || value.id.is(Output::camber)));
        if (value.asks == Asks::kept) CHECK(meets(value.target, value.then));
    }
    CHECK_FALSE(adjusts(touched_keys(got.closest), "pushrod"));
}

TEST_CASE("camber that is asked for has its shims, though rods and platforms could make it by many turns") {
    Morning m = wren_morning();
    const std::map<ValueId, Target> all = m.targets.values;
    m.targets.values.clear();
    for (const CornerId id : front_corners)
        for (const Output output : {Output::toe, Output::camber}) m.targets.values[{id, output}] = all.at({id, output});
    m.targets.values[ValueId(CarOutput::front_difference)] = all.at(ValueId(CarOutput::front_difference));
    const Plan got = plan_of(m);
    CHECK(got.closest.within);
    CHECK(setting_of(got.closest, "front_left.camber shim") != nullptr);
    for (const Choice* choice : {&got.closest, &*got.least_work})
        for (const PlannedValue& value : choice->values) {
            INFO(key(value.id));
            CHECK(value.asks != Asks::let_go);
            if (value.asks == Asks::kept) CHECK(value.within);  // heights, and toe and camber of the rear
        }
    CHECK(asks_of(got.closest, "ride_height.rear_left") == "kept");
    CHECK(asks_of(got.closest, "rear_right.toe") == "kept");
    CHECK(asks_of(got.closest, "rear_right.camber") == "kept");
}

TEST_CASE("what is freed may go, and what must be kept stays though it costs") {
    Morning m = wren_morning();
    for (const CornerId id : all_corners)
        m.targets.values.erase(id_of(m, "ride_height." + std::string(corner_names[index(id)])));
    m.targets.values.erase(ValueId(CarOutput::rake));
    const Plan kept = plan_of(m);
    const Plan freed = plan_of(m, with(&PlanOptions::free, {"ride_height"}));
    for (const CornerId id : all_corners) {
        const std::string name = "ride_height." + std::string(corner_names[index(id)]);
        INFO(name);
        CHECK((asks_of(freed.closest, name) == "" || asks_of(freed.closest, name) == "let_go"));
    }
    CHECK(freed.closest.cost <= kept.closest.cost + 1e-9);
}

TEST_CASE("the rear difference is let go and named where the front one must move it beyond") {
    Morning m = wren_morning();
    for (const CornerId id : all_corners) {
        const double warp = is_front(id) == is_left(id) ? 7.5 : -7.5;
        *m.read(id).scale_kg += warp;
    }
    const Plan got = plan_of(m);
    const PlannedValue* rear = planned(got.closest, "rear_difference");
    REQUIRE(rear);
    CHECK(rear->asks == Asks::let_go);
    CHECK(std::fabs(rear->then - rear->now) > 10.0);
    CHECK(said(got.notes, "rear_difference"));
    CHECK(got.closest.within);
    // Kept by name it stays, and what is asked for is given up.
    const Plan kept = plan_of(m, with(&PlanOptions::keep, {"rear_difference"}));
    const PlannedValue* stays = planned(kept.closest, "rear_difference");
    REQUIRE(stays);
    CHECK(stays->asks == Asks::kept);
    CHECK(std::fabs(stays->then - stays->now) <= 10.0 + 1e-9);
    CHECK_FALSE(kept.closest.within);
}

TEST_CASE("platforms beside pushrods are held and named with what they could gain, and turned when named") {
    Morning m = wren_morning();
    const Plan got = plan_of(m);
    CHECK(setting_of(got.closest, "front_left.spring platform") == nullptr);
    const auto held = std::ranges::find(got.held, Purpose::corner_weight, &HeldPurpose::purpose);
    REQUIRE(held != got.held.end());
    CHECK(held->keys.size() == 4);
    CHECK(held->gain > 0.0);
    CHECK(held->gain <= got.closest.cost + 1e-12);
    CHECK(said(got.notes, "corner weight"));
    REQUIRE(setting_of(plan_of(m, with(&PlanOptions::turn, {"corner_weight"})).closest, "front_left.spring platform"));
    const Plan turned = plan_of(m, with(&PlanOptions::turn, {"corner_weight", "ride_height"}));
    REQUIRE(setting_of(turned.closest, "front_left.pushrod"));
    REQUIRE(setting_of(turned.closest, "front_left.spring platform"));
    CHECK(turned.closest.cost <= got.closest.cost + 1e-9);
    CHECK(turned.closest.cost >= got.closest.cost - held->gain - 1e-6);  // the bound is one
    CHECK(std::ranges::find(turned.held, Purpose::corner_weight, &HeldPurpose::purpose) == turned.held.end());
}

TEST_CASE("platforms come in by themselves where pushrods alone cannot meet what is asked") {
    Morning m = wren_morning();
    for (const CornerId id : all_corners) m.thread(id, "pushrod").limits_turns = {-0.04, 0.04};
    const Plan got = plan_of(m);
    CHECK(got.closest.within);
    CHECK(adjusts(touched_keys(got.closest), "spring platform"));
    CHECK(setting_of(got.closest, "front_left.spring platform") != nullptr);
}

TEST_CASE("with the rack free the wheels share what their total toe is off, and track rods make no camber") {
    Morning m = wren_morning();
    m.readings.rack_locked = false;
    const Plan found = plan_of(m);
    const double off = *found.measured.value(CarOutput::total_toe_front) - 0.2;
    for (const CornerId id : front_corners) {
        const PlannedValue* toe = planned(found.closest, at(id, "toe"));
        REQUIRE(toe);
        CHECK(!toe->measured);
        CHECK_NEAR(toe->now, 0.1 + 0.5 * off, 1e-12);
        CHECK_NEAR(toe->then, 0.1, 0.055);
        CHECK(std::ranges::count(found.unread, id_of(m, at(id, "toe"))) == 1);
    }
}

TEST_CASE("a total toe that is asked for is shared by both wheels, with the rack free or locked") {
    for (const bool locked : {false, true}) {
        Morning m = wren_morning();
        m.readings.rack_locked = locked;
        m.targets.values.clear();
        Target& total = m.targets.values[CarOutput::total_toe_front];
        total.value = 0.2;
        total.tolerance = 0.08;
        const Plan found = plan_of(m);
        const double less = 0.5 * (0.2 - *found.measured.value(CarOutput::total_toe_front));
        REQUIRE(found.least_work);
        for (const CornerId id : front_corners) {
            const PlannedValue* toe = planned(*found.least_work, at(id, "toe"));
            REQUIRE(toe);
            CHECK(toe->asks == Asks::kept);
            CHECK_NEAR(toe->then, toe->now + less, 0.055 + 1e-9);
        }
    }
}

TEST_CASE("what was not read stays by the model where something else is planned") {
    Morning m = wren_morning();
    for (CornerReadings& corner : m.readings.corners) corner.scale_kg.reset();
    const Plan found = plan_of(m);
    for (const Choice& choice : {found.closest, *found.least_work}) {
        const PlannedValue* front = planned(choice, "front_difference");
        REQUIRE(front);
        CHECK(front->asks == Asks::kept);
        CHECK(!front->measured);
        CHECK(std::fabs(front->then - front->now) <= front->target.tolerance + 1e-6);
    }
    CHECK(std::ranges::count(found.unread, id_of(m, "front_difference")) == 1);
}

TEST_CASE("a caster with a least alone stays where it stands, too") {
    const Morning m = wren_morning();
    const Plan found = plan_of(m, with(&PlanOptions::turn, {"caster"}));
    for (const CornerId id : front_corners) {
        const PlannedValue* caster = planned(found.closest, at(id, "caster"));
        REQUIRE(caster);
        CHECK(caster->asks == Asks::limit);
        CHECK_NEAR(caster->then, caster->now, 0.25 + 1e-9);
    }
}

TEST_CASE("where camber has nothing to be turned the heights stay what is asked for") {
    const Plan found = plan_of(wren_morning(), with(&PlanOptions::forbid, {"camber"}));
    CHECK(asks_of(found.closest, "ride_height.front_left") == "asked");
    CHECK(asks_of(found.closest, "front_left.camber") == "limit");
}

TEST_CASE("bars that were on are doubted by the plan, unless their torque is wanted") {
    Morning m = wren_morning();
    m.readings.bars = BarsWere::on;
    const auto doubted = [&] {
        return std::ranges::any_of(plan_of(m).doubts, [](const Doubt& doubt) { return doubt.at == "state.bars"; });
    };
    CHECK(doubted());
    Target& torque = m.targets.values[CarOutput::front_bar_torque];
    torque.value = 0.0;
    torque.tolerance = 2.0;
    CHECK_FALSE(doubted());
}

TEST_CASE("what is turned for toe or camber is left alone at a wheel where that was not read") {
    Morning m = wren_morning();
    for (const CornerId id : front_corners) m.read(id).flags_mm.reset();
    m.read(CornerId::rear_left).camber_deg.reset();
    const Plan found = plan_of(m);
    for (const Choice& choice : {found.closest, *found.least_work}) {
        const std::vector<std::string> touched = touched_keys(choice);
        CHECK(!touched.empty());
        for (const char* name : {"front_left.track rod", "front_right.track rod", "rear_left.camber shim"})
            CHECK(std::ranges::count(touched, name) == 0);
    }
    CHECK(said(found.notes, "Left alone", "rear_left.camber shim"));
    const Plan turned = plan_of(m, with(&PlanOptions::turn, {"front_left.track rod"}));
    CHECK(!said(turned.notes, "Left alone", "front_left.track rod"));
}

TEST_CASE("caster legs are turned only where caster is wanted or short of its least") {
    Morning m = wren_morning();
    const auto legs = [](const Plan& p) { return adjusts(touched_keys(p.closest), "leg"); };
    CHECK_FALSE(legs(plan_of(m)));
    for (const CornerId id : front_corners) m.target(id, Output::caster).least = 5.2;
    const Plan more = plan_of(m);
    CHECK(legs(more));
    for (const CornerId id : front_corners) {
        const PlannedValue* caster = planned(more.closest, at(id, "caster"));
        REQUIRE(caster);
        CHECK(caster->asks == Asks::limit);
        CHECK_FALSE(caster->measured);
        CHECK(caster->then >= 5.2);
        CHECK(planned(more.closest, at(id, "toe"))->within);
    }
}
