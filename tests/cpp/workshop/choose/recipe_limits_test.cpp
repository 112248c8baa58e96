// What limits, locks and the shims at hand make of a recipe.
#include "shimwise/workshop/choose/recipes.hpp"

#include "workshop/choose/recipe_settings.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/choose/recipe_words.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("a recipe over a limit names it, is a rate with nothing to set, and says how far it goes") {
    const Car car = wren_morning().car;
    for (const double by : {2.0, -2.0}) {
        const Recipe r = recipe(car, CornerId::front_left, Output::camber, by);
        INFO("camber " << by);
        REQUIRE_FALSE(r.inside());
        CHECK(r.refusal.empty());
        CHECK(said(r.limits, "camber shim: "));
        CHECK_NEAR(r.change[index(Output::camber)], by, tolerances::recipe);
        for (const RecipePart& part : r.parts) {
            CHECK(part.nearest_words.empty());
            CHECK_FALSE(part.nearest_shims);
            CHECK_FALSE(part.words.empty());
        }
        CHECK(r.reach * by > 0.0);
        CHECK(std::fabs(r.reach) < std::fabs(by));
        CHECK(recipe(car, CornerId::front_left, Output::camber, 0.999 * r.reach).inside());
        CHECK_FALSE(recipe(car, CornerId::front_left, Output::camber, 1.001 * r.reach).inside());
    }
    // The shims at hand end before the car file's limit does.
    Car poor = car;
    poor.boxes_mm["rear"] = {0.5};
    const Recipe stock = recipe(poor, CornerId::rear_left, Output::camber, 0.5);
    CHECK(said(stock.limits, "camber shim: would have to be", "the shims at hand make 0.00 to 3.50 mm"));
    Car loose = car;
    std::get<Thread>(loose[CornerId::rear_left].adjusters[*loose[CornerId::rear_left].find("toe link")].setting)
        .now_turns = 7.0;
    CHECK_NEAR(recipe(loose, CornerId::rear_left, Output::toe, 0.1).reach, 0.0, 0.0);  // it stands beyond its limit
    const Recipe far = recipe(car, CornerId::front_left, Output::chassis_height, 3000.0);
    CHECK(far.refusal.find("does not assemble that far") != std::string::npos);
    CHECK(far.parts.empty());
    CHECK(far.reach > 1.0);
    CHECK(far.reach < 100.0);
}

TEST_CASE("settings that round beyond a limit together are set back to steps that keep it") {
    Car car = wren_morning().car;
    std::vector<Adjuster>& adjusters = car[CornerId::rear_left].adjusters;
    Adjuster& pushrod = adjusters[*car[CornerId::rear_left].find("pushrod")];
    pushrod.minutes = 0.0;  // both are turned, each by half
    Adjuster other = pushrod;
    other.name = "pushrod, inner end";
    adjusters.push_back(other);
    const Recipe free = recipe(car, CornerId::rear_left, Output::chassis_height, 1.0);
    double exact_mm = 0.0, nearest_mm = 0.0;
    for (const RecipePart& part : free.parts)
        if (part.key.find("pushrod") != std::string::npos) {
            exact_mm += part.amount_mm;
            nearest_mm += part.nearest_mm;
        }
    REQUIRE(free.inside());
    REQUIRE(nearest_mm > exact_mm + 0.05);
    const double drawn_mm = drawn_length_mm(car, CornerId::rear_left, Length::pushrod).value();
    for (Adjuster& adjuster : adjusters)
        if (adjuster.length() == Length::pushrod) {
            std::get<Thread>(adjuster.setting).limits_turns.reset();
            std::get<Thread>(adjuster.setting).length_limits_mm = {{drawn_mm - 5.0, drawn_mm + exact_mm + 0.01}};
        }
    const Recipe bound = recipe(car, CornerId::rear_left, Output::chassis_height, 1.0);
    CHECK(bound.inside());
    CHECK_NEAR(bound.reach, 1.0, 0.0);
    CHECK_NEAR(bound.change[index(Output::chassis_height)], 1.0, tolerances::recipe);
    double kept_mm = 0.0, step_back_mm = 0.0;
    for (const RecipePart& part : bound.parts)
        if (part.key.find("pushrod") != std::string::npos) {
            kept_mm += part.nearest_mm;
            step_back_mm = step_mm(adjusters[part.adjuster]);
            CHECK_FALSE(part.nearest_words.empty());
        }
    CHECK_NEAR(kept_mm, nearest_mm - step_back_mm, 1e-9);  // one of the two, by one step
    const double held = present_value(setup(car[CornerId::rear_left]), spring_held);
    const Car set = with_settings(car, settings_with(car, bound, true));  // refuses a broken limit
    for (std::size_t o = 0; o < output_count; ++o)
        CHECK_NEAR(bound.nearest_change[o],
                   outputs_of(set, CornerId::rear_left, held)[o] - outputs_of(car, CornerId::rear_left, held)[o], 1e-9);
}

TEST_CASE("a recipe that no step near it keeps inside the limits says so, and that its exact amounts do") {
    Car car = wren_morning().car;
    Corner& corner = car[CornerId::rear_left];
    Thread& thread = std::get<Thread>(corner.adjusters[*corner.find("toe link")].setting);
    double turns = 0.0;
    for (const RecipePart& part : recipe(car, CornerId::rear_left, Output::toe, 0.25).parts)
        if (part.key == "rear_left.toe link") turns = *part.turns;
    const double off_turns = std::fabs(std::remainder(turns, thread.step_turns));
    REQUIRE(off_turns > 1e-4);
    thread.limits_turns = {{turns - 0.5 * off_turns, turns + 0.5 * off_turns}};  // the car stands beyond it
    const Recipe r = recipe(car, CornerId::rear_left, Output::toe, 0.25);
    CHECK(said(r.limits, "no step or pack near the exact amounts keeps", "toe link: limits_turns excludes"));
    CHECK_NEAR(r.reach, 0.25, 0.0);
    CHECK(r.nearest_minutes == 0.0);
    for (const RecipePart& part : r.parts) {
        CHECK(part.nearest_words.empty());
        CHECK(part.nearest_mm == 0.0);
    }
}

TEST_CASE("one shim is not spent twice: packs of one box are the nearest that can be made together") {
    Car car = wren_morning().car;
    const CornerId id = CornerId::front_left;
    Corner& corner = car[id];
    corner.adjusters[*corner.find("camber shim")].minutes = 0.0;  // both are changed, each by half
    Adjuster second = corner.adjusters[*corner.find("camber shim")];
    second.name = "second shim";
    corner.adjusters.push_back(second);
    for (const Shims& box : {Shims{0.5}, Shims{0.5, 0.2}, Shims{0.5, 0.5}}) {
        car.boxes_mm["front"] = box;
        for (const double by : {0.1, 0.2, -0.1}) {
            INFO("box of " << box.size() << ", camber " << by);
            const Recipe r = recipe(car, id, Output::camber, by);
            REQUIRE(r.inside());
            std::vector<double> wanted_mm, nearest_mm;
            std::map<double, long> left;
            for (const double mm : box) ++left[mm];
            for (const RecipePart& part : r.parts)
                if (part.key.ends_with("shim")) {
                    wanted_mm.push_back(part.amount_mm);
                    nearest_mm.push_back(part.nearest_mm);
                    if (!part.nearest_shims) continue;
                    for (const double mm : part.nearest_shims->add_mm) --left[mm];
                    for (const double mm : part.nearest_shims->remove_mm) ++left[mm];
                }
            REQUIRE(wanted_mm.size() == 2);
            for (const auto& [mm, count] : left) CHECK(count >= 0);
            // Every pair of packs, asked one by one.
            const Shims fitted = second.stack()->fitted_mm;
            double least = 1e9;
            const auto packs = stack_choices(fitted, box, second.stack()->limits_mm);
            for (const StackChoice& a : packs)
                for (const StackChoice& b : packs)
                    if (stack_together({fitted, fitted}, box, {a.total_mm, b.total_mm}))
                        least = std::min(least, std::pow(a.total_mm - 3.0 - wanted_mm[0], 2) +
                                                    std::pow(b.total_mm - 3.0 - wanted_mm[1], 2));
            CHECK_NEAR(std::pow(nearest_mm[0] - wanted_mm[0], 2) + std::pow(nearest_mm[1] - wanted_mm[1], 2), least,
                       1e-12);
        }
    }
}

TEST_CASE("half a step beyond what the shims make counts as inside, the thinnest shim at hand being the step") {
    Car car = wren_morning().car;
    Corner& corner = car[CornerId::rear_left];
    Stack& stack = std::get<Stack>(corner.adjusters[*corner.find("camber shim")].setting);
    stack.limits_mm.reset();
    const auto thickest_mm = [&] {
        const double reach = recipe(car, CornerId::rear_left, Output::camber, 2.0).reach;
        for (const RecipePart& part : recipe(car, CornerId::rear_left, Output::camber, reach).parts)
            if (part.key.ends_with("shim")) return stack.total_mm() + part.amount_mm;
        return std::nan("");
    };
    stack.fitted_mm = {2.0};
    car.boxes_mm["rear"] = {2.0};
    CHECK_NEAR(thickest_mm(), 4.0 + 1.0, 1e-3);
    car.boxes_mm["rear"] = {2.0, 0.2};
    CHECK_NEAR(thickest_mm(), 4.2 + 0.1, 1e-3);
    stack.fitted_mm = {};  // no shim at all: 1 mm
    car.boxes_mm["rear"] = {};
    CHECK_NEAR(thickest_mm(), 0.5, 1e-3);
}
