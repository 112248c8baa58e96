// What is said where a recipe of the whole car goes beyond a limit, or there is none.
#include "shimwise/workshop/choose/car_recipe.hpp"

#include <cmath>

#include "catch.hpp"
#include "workshop/choose/car_recipe_words.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("over a limit it is a rate, names the limit and says how far it goes") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"front_height", 18.0}}, {}, {"pushrod"});
    CHECK(r.refusal.empty());
    CHECK(!r.inside());
    CHECK(said(r.limits, "front left pushrod", "limits_turns", "-5 to 5"));
    REQUIRE(r.parts.size() == 4);
    CHECK(*r.parts[0].turns > 5.0);
    for (const RecipePart& part : r.parts) CHECK(part.nearest_words.empty());
    CHECK(r.nearest_change == r.change);
    CHECK(r.reach > 0.9);
    CHECK(r.reach < 1.0);
    CHECK(recipe(car, {{"front_height", 18.0 * r.reach * (1.0 - 1e-6)}}, {}, {"pushrod"}).inside());
    CHECK(!recipe(car, {{"front_height", 18.0 * r.reach + 1e-3}}, {}, {"pushrod"}).inside());
}

TEST_CASE("what the car cannot reach at rest is refused with what stops it, and how far it goes") {
    const CarRecipe r = recipe(wren(), {{"front_height", 400.0}});
    CHECK(r.parts.empty());
    CHECK(!r.inside());
    CHECK(r.refusal.find("the car finds no rest that far: ") == 0);
    CHECK(r.reach > 0.01);
    CHECK(recipe(wren(), {{"front_height", 400.0 * r.reach * (1.0 - 1e-6)}}).inside());
}

TEST_CASE("what cannot be done together is refused with its reason") {
    const Car car = wren();
    const auto refused = [&](std::vector<CarAim> aims, std::optional<Names> keep, Names turn, const Names& words) {
        const CarRecipe r = recipe(car, std::move(aims), std::move(keep), std::move(turn));
        INFO(r.refusal);
        CHECK(r.parts.empty());
        CHECK(!r.inside());
        CHECK_NEAR(r.reach, 0.0, 0.0);
        for (const std::string& word : words) CHECK(r.refusal.find(word) != std::string::npos);
    };
    refused({{"front_difference", 5.0}, {"rear_difference", 5.0}}, {}, {},
            {"front difference +5 kg", "rear difference +5 kg", "kept", "one unknown of the weights"});
    refused({{"front_difference", 5.0}}, Names{"others", "cross_weight"}, {},
            {"front difference +5 kg", "cross weight", "one unknown of the weights"});
    refused({{"ride_height.front_left", 2.0}},
            Names{"ride_height.front_right", "ride_height.rear_left", "ride_height.rear_right"}, {},
            {"ride height front left +2 mm", "the chassis is rigid"});
    refused({{"front_share", 0.5}}, {}, {}, {"front share +0.5 %", "ballast"});
    refused({{"front_left.toe", 0.1}}, {}, {"spring platform"}, {"front left toe +0.1 deg"});
    refused({{"front_height", 2.0}}, {}, {"front_left.pushrod", "front_right.pushrod"},
            {"front height +2 mm", "kept", "go together"});
    refused({{"front_left.toe", 0.1}}, Names{}, {"rear_left.drop link"},
            {"front left toe +0.1 deg", "nothing of it moves that alone"});
}

TEST_CASE("wrong words of an ask are named all at once") {
    const RestModel model = rest_model(wren());
    const auto said_of = [&](const CarRecipeAsk& ask) -> std::string {
        try {
            car_recipe(model, ask);
        } catch (const InputError& e) {
            return e.what();
        }
        return {};
    };
    CHECK(said_of({}).find("aims") != std::string::npos);
    const std::string all = said_of({{{"front_hight", 1.0}, {"rake", 0.0}, {"roll", std::nan("")}},
                                     Names{"rake", "cross_wieght"},
                                     {"pushrods", "spring platform"}});
    for (const char* word :
         {"front_hight", "did you mean \"front_height\"", "rake: must not be 0", "roll: must be a finite number",
          "did you mean \"cross_weight\"", "pushrods", "did you mean \"pushrod\"", "cannot both change and be kept"})
        CHECK(all.find(word) != std::string::npos);
    CHECK(said_of({{{"rake", 1.0}, {"rake_mm", 2.0}}, {}, {}}).find("named twice") != std::string::npos);
    Car plain = wren();
    plain.rake_front = plain.rake_rear = "";
    const RestModel no_rake = rest_model(plain);
    CHECK_THROWS_AS(car_recipe(no_rake, {{{"front_height", 1.0}}, {}, {}}), InputError);
    const CarRecipe height = car_recipe(no_rake, {{{"height", 1.0}}, {}, {}});
    CHECK(kept_of(height) == Names{"pitch", "roll", "cross_weight"});
    CHECK(height.inside());
}
