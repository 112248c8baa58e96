#include "shimwise/workshop/choose/car_recipe.hpp"

#include "workshop/choose/recipe_settings.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/choose/car_recipe_words.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("raise front ride height 2 mm, nothing else changes") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"front_height", 2.0}});
    CHECK(aims_of(r) == Names{"front_height"});
    CHECK(kept_of(r) == Names{"rear_height", "roll", "cross_weight"});
    CHECK(keys(r) == at_every_corner("pushrod"));
    CHECK_NEAR(r.minutes, 16.0, 1e-12);
    check_set_on(car, r);
    const auto now = at_rest(car), then = at_rest(with_settings(car, settings_with(car, r, false)));
    CHECK_NEAR(then.at("front") - now.at("front"), 2.0, 1e-9);
    for (const char* kept : {"rear", "roll_deg", "cross_weight_percent"}) CHECK_NEAR(then.at(kept), now.at(kept), 1e-9);
    // The left and right heights go with their mean and with roll.
    for (const char* point : {"left", "right"}) {
        const std::string front = std::string("ride_height.front_") + point + "_mm";
        const std::string rear = std::string("ride_height.rear_") + point + "_mm";
        CHECK_NEAR(then.at(front) - now.at(front), 2.0, 1e-6);
        CHECK_NEAR(then.at(rear) - now.at(rear), 0.0, 1e-6);
    }
    CHECK(r.nearest_within);
    for (const RecipePart& part : r.parts) CHECK(part.words.find("turn") != std::string::npos);
    CHECK(r.parts[0].words.find("longer") != std::string::npos);
}

TEST_CASE("add 0.5 % cross weight, heights kept") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"cross_weight", 0.5}});
    CHECK(kept_of(r) == Names{"front_height", "rear_height", "roll"});
    check_set_on(car, r);
    const auto now = at_rest(car), then = at_rest(with_settings(car, settings_with(car, r, false)));
    CHECK_NEAR(then.at("cross_weight_percent") - now.at("cross_weight_percent"), 0.5, 1e-9);
    for (const char* kept : {"front", "rear", "roll_deg", "rake_mm", "height_mm", "ride_height.front_left_mm"})
        CHECK_NEAR(then.at(kept), now.at(kept), 1e-9);
    // Statics: the gain of the diagonal comes half from each end, left less right falls at the front, grows at the
    // rear.
    const double gain_kg = 0.005 * 498.0;
    CHECK_NEAR(then.at("front_difference_kg") - now.at("front_difference_kg"), -gain_kg, 0.05 * gain_kg);
    CHECK_NEAR(then.at("rear_difference_kg") - now.at("rear_difference_kg"), gain_kg, 0.05 * gain_kg);
}

TEST_CASE("1 mm more rake at the same mean height") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"rake_mm", 1.0}});
    CHECK(aims_of(r) == Names{"rake"});
    CHECK(kept_of(r) == Names{"mean_height", "roll", "cross_weight"});
    check_set_on(car, r);
    const auto now = at_rest(car), then = at_rest(with_settings(car, settings_with(car, r, false)));
    CHECK_NEAR(then.at("rear") - now.at("rear"), 0.5, 1e-9);
    CHECK_NEAR(then.at("front") - now.at("front"), -0.5, 1e-9);
    CHECK_NEAR(then.at("roll_deg"), now.at("roll_deg"), 1e-9);
    CHECK_NEAR(then.at("cross_weight_percent"), now.at("cross_weight_percent"), 1e-9);
}

TEST_CASE("what is kept by itself leaves no freedom and names none twice") {
    const Car car = wren();
    const auto kept = [&](std::vector<CarAim> aims) { return kept_of(recipe(car, std::move(aims))); };
    CHECK(kept({{"mean_height", 1.0}}) == Names{"rake", "roll", "cross_weight"});
    CHECK(kept({{"height", 1.0}}) == Names{"rake", "roll", "cross_weight"});
    CHECK(kept({{"mean_height", 1.0}, {"rake", 0.5}}) == Names{"roll", "cross_weight"});
    CHECK(kept({{"front_height", 1.0}, {"rear_height", 1.0}}) == Names{"roll", "cross_weight"});
    CHECK(kept({{"roll", 0.05}}) == Names{"front_height", "rear_height", "cross_weight"});
    CHECK(kept({{"front_difference", 2.0}}) == Names{"front_height", "rear_height", "roll"});
    CHECK(kept({{"rear_left.weight_kg", 2.0}}) == Names{"front_height", "rear_height", "roll"});
    CHECK(kept({{"ride_height.front_left", 1.0}}) == Names{"ride_height.front_right", "rear_height", "cross_weight"});
    CHECK(kept({{"ride_height.rear_right_mm", 1.0}}) == Names{"ride_height.rear_left", "front_height", "cross_weight"});
    CHECK(kept({{"front_left.toe", 0.1}}) == Names{"front_height", "rear_height", "roll", "cross_weight"});
    CHECK(kept_of(recipe(car, {{"rake", 1.0}}, Names{})).empty());
    CHECK(kept_of(recipe(car, {{"rake", 1.0}}, Names{"front_height"})) == Names{"front_height"});
}

TEST_CASE("a difference of camber or caster is left less right, by either wheel alone too") {
    const Car car = wren();
    const std::array<std::pair<Output, std::string>, 2> asked = {
        {{Output::camber, "camber shim"}, {Output::caster, "upper front leg"}}};
    for (const auto& [output, adjuster] : asked)
        for (const CornerId id : {CornerId::front_left, CornerId::front_right}) {
            const std::string name(output_list[index(output)].name),
                turned = std::string(corner_names[index(id)]) + "." + adjuster;
            INFO(name << " by " << turned);
            const CarRecipe r = recipe(car, {{name + "_difference_front", 0.1}}, Names{}, Names{turned});
            const auto change = [&](CornerId wheel) {
                const auto at = std::ranges::find(r.outputs, ValueId(wheel, output)) - r.outputs.begin();
                return r.change[static_cast<std::size_t>(at)];
            };
            CHECK_NEAR(change(CornerId::front_left) - change(CornerId::front_right), 0.1, 1e-6);
            CHECK(std::fabs(change(id)) > 0.09);
        }
}

TEST_CASE("other aims, uneven pads and a car as it is set: done exactly, and set within the limits") {
    Morning m = wren_morning();
    m.thread(CornerId::front_left, "pushrod").now_turns = 0.75;
    m.thread(CornerId::rear_right, "spring platform").now_turns = -0.5;
    m.car.bars[0]->connected = true;
    const PadHeights pads_mm = {0.0, 1.2, -0.4, 0.3};
    for (const CarAim& aim : std::vector<CarAim>{{"front_height", -1.5},
                                                 {"rear_height", 1.0},
                                                 {"mean_height", -2.0},
                                                 {"rake_angle", 0.02},
                                                 {"roll", 0.05},
                                                 {"cross_weight", -0.8},
                                                 {"front_difference", 3.0},
                                                 {"rear_difference", -3.0},
                                                 {"camber_difference_front", 0.1},
                                                 {"caster_difference_front", -0.1},
                                                 {"front_right.weight", 1.5},
                                                 {"ride_height.rear_left", 1.5}}) {
        INFO(aim.what << " " << aim.by);
        check_set_on(m.car, recipe(m.car, {aim}, {}, {}, pads_mm), pads_mm);
    }
}

TEST_CASE("toe is kept where that is asked for, by what is there for toe") {
    const Car car = wren();
    const CarRecipe plain = recipe(car, {{"front_height", 2.0}});
    const CarRecipe kept = recipe(car, {{"front_height", 2.0}}, Names{"others", "toe"});
    check_set_on(car, kept);
    CHECK(kept_of(kept).size() == 7);
    const auto now = at_rest(car);
    const auto without = at_rest(with_settings(car, settings_with(car, plain, false)));
    const auto with = at_rest(with_settings(car, settings_with(car, kept, false)));
    CHECK(std::fabs(without.at("front_left.toe_deg") - now.at("front_left.toe_deg")) > 1e-3);
    for (const std::string_view corner : corner_names) {
        const std::string toe = std::string(corner) + ".toe_deg";
        CHECK_NEAR(with.at(toe), now.at(toe), 1e-9);
    }
    CHECK_NEAR(kept.minutes, 32.0, 1e-12);
    const CarRecipe camber = recipe(car, {{"rear_left.camber", -0.2}}, Names{"others", "rear_left.toe"});
    check_set_on(car, camber);
    CHECK(std::find(keys(camber).begin(), keys(camber).end(), "rear_left.camber shim") != keys(camber).end());
}

TEST_CASE("beyond the bound on sets the recipe holds, and says that it need not be the least work") {
    Morning m = wren_morning();
    const Names everything = {"toe", "camber", "caster", "ride_height", "corner_weight", "bar_free"};
    const CarRecipe r = recipe(m.car, {{"front_height", 2.0}}, Names{"others", "toe", "camber"}, everything);
    check_set_on(m.car, r);
    CHECK(said(r.notes, "too many sets"));
    CHECK(recipe(m.car, {{"front_height", 2.0}}).notes.empty());
}

TEST_CASE("a damper on its droop stop is said") {
    Morning m = wren_morning();
    m.car[CornerId::front_left].damper->longest_mm =
        *present_length_mm(m.car, CornerId::front_left, Length::spring_platform) - 1.0;
    const RestModel model = rest_model(m.car);
    REQUIRE(rest(model).corners[0].on_droop_stop);
    const CarRecipe r = car_recipe(model, {{{"rear_height", 0.5}}, {}, {}});
    CHECK(said(r.notes, "front left: now the damper is on its droop stop"));
}

TEST_CASE("an aim is written in the unit of its value, toe of a wheel also in mm at the flags") {
    const RestModel m = rest_model(wren());
    CHECK(car_aim(m, "front_height", "+2 mm").by == 2.0);
    CHECK(car_aim(m, "cross_weight", "-0.5 %").by == -0.5);
    const CarAim toe = car_aim(m, "front_left.toe", "-1 mm");
    CHECK(toe.at_flags_mm == -1.0);
    CHECK(recipe(wren(), {toe}).values.at(0).at_flags_mm == -1.0);
    CHECK_THROWS_AS(car_aim(m, "total_toe_front", "+1 mm"), InputError);
    CHECK_THROWS_AS(car_aim(m, "rake", "+1 deg"), InputError);
    CHECK(car_aim(m, "rack", "whatever").what == "rack");  // `car_recipe` refuses the name
}
