#include "shimwise/workshop/choose/recipes.hpp"

#include "workshop/choose/recipe_settings.hpp"

#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "shimwise/error.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "shimwise/workshop/words.hpp"
#include "size.hpp"
#include "workshop/choose/recipe_words.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("a recipe set on the car moves its output by what was asked, and leaves the others") {
    const Car car = wren_morning().car;
    int done = 0;
    for (const CornerId id : all_corners)
        for (const Output output : four)
            for (const double by : {0.05, -0.1, 0.4}) {
                INFO(corner_names[index(id)] << ", " << name_of(output) << " " << by);
                const Recipes all = recipes(car, id, {{name_of(output), by}});
                const Recipe& r = all.recipes.at(0);
                if (!r.refusal.empty()) continue;
                REQUIRE(r.inside());
                const double held = present_value(setup(car[id]), spring_held);
                CHECK_NEAR(all.spring_length_mm, held, 1e-9);
                const Outputs<double> now = outputs_of(car, id, held);
                const Outputs<double> exact = outputs_of(with_settings(car, settings_with(car, r, false)), id, held);
                const Outputs<double> nearest = outputs_of(with_settings(car, settings_with(car, r, true)), id, held);
                CHECK_NEAR(exact[index(output)] - now[index(output)], by, tolerances::recipe);
                for (const Output kept : r.kept) CHECK_NEAR(exact[index(kept)], now[index(kept)], tolerances::recipe);
                CHECK(r.kept.size() == (is_front(id) ? 3 : 2));
                for (std::size_t o = 0; o < output_count; ++o) {
                    CHECK_NEAR(all.now[o], now[o], 1e-9);
                    CHECK_NEAR(r.change[o], exact[o] - now[o], 1e-9);
                    CHECK_NEAR(r.nearest_change[o], nearest[o] - now[o], 1e-9);
                }
                double minutes = 0.0;
                for (const RecipePart& part : r.parts) {
                    minutes += part.minutes;
                    const auto place = find_adjuster(car, part.key).value();
                    const Adjuster& adjuster = car[id].adjusters[place.adjuster];
                    if (const Thread* thread = adjuster.thread()) {
                        const double step_mm = thread->step_turns * thread->lead_mm();
                        CHECK(std::fabs(part.nearest_mm - part.amount_mm) <= 0.5 * step_mm + 1e-12);
                        const double steps = part.nearest_mm / step_mm;
                        CHECK_NEAR(steps, std::round(steps), 1e-9);
                        CHECK_NEAR(*part.turns * thread->lead_mm(), part.amount_mm, 1e-12);
                    } else if (part.nearest_shims) {
                        CHECK(std::fabs(part.nearest_mm - part.amount_mm) <= 0.05 + 1e-12);  // the box makes tenths
                        CHECK_NEAR(part.nearest_shims->total_mm - adjuster.stack()->total_mm(), part.nearest_mm, 1e-12);
                    }
                    CHECK(part.nearest_words.empty() == (part.nearest_mm == 0.0));
                }
                CHECK_NEAR(r.minutes, minutes, 1e-12);
                CHECK_NEAR(r.reach, by, 0.0);
                ++done;
            }
    CHECK(done == 42);
}

TEST_CASE("without an amount there is a recipe for each of the four, by 1 deg or 1 mm") {
    const Recipes all = recipes(wren_morning().car, CornerId::front_right);
    REQUIRE(all.recipes.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK(all.recipes[i].output == four[i]);
        CHECK(all.recipes[i].by == 1.0);
        CHECK_NEAR(all.recipes[i].change[index(four[i])], 1.0, tolerances::recipe);
    }
}

TEST_CASE("recipes of left and right are the same") {
    const Car car = wren_morning().car;
    for (const Output output : four)
        for (const auto& [left, right] : {std::pair(CornerId::front_left, CornerId::front_right),
                                          std::pair(CornerId::rear_left, CornerId::rear_right)}) {
            const Recipe l = recipe(car, left, output, 0.3);
            const Recipe r = recipe(car, right, output, 0.3);
            CHECK(l.refusal == r.refusal);
            REQUIRE(names(l) == names(r));
            for (std::size_t i = 0; i < l.parts.size(); ++i) {
                CHECK_NEAR(l.parts[i].amount_mm, r.parts[i].amount_mm, 1e-8);
                CHECK(l.parts[i].nearest_words == r.parts[i].nearest_words);
            }
        }
}

TEST_CASE("a corner without an adjuster for caster has no recipe for it, and does not keep it") {
    const Car car = wren_morning().car;
    const Recipes all = recipes(car, CornerId::rear_left);
    const Recipe& caster = all.recipes[2];
    CHECK(caster.refusal.find("no adjuster for caster") != std::string::npos);
    CHECK(caster.parts.empty());
    for (const Recipe& r : all.recipes) {
        if (r.output == Output::caster) continue;
        CHECK_FALSE(keeps(r, Output::caster));
        CHECK(r.kept.size() == 2);
    }
    CHECK(std::fabs(all.recipes[3].change[index(Output::caster)]) > 1e-4);
    // Two outputs and one adjuster that moves both: neither goes alone.
    Car one = car;
    std::vector<Adjuster>& adjusters = one[CornerId::rear_left].adjusters;
    std::erase_if(adjusters,
                  [](const Adjuster& a) { return a.purpose != Purpose::camber && a.purpose != Purpose::toe; });
    adjusters[0].changes = adjusters[1].changes;
    const Recipe together = recipe(one, CornerId::rear_left, Output::toe, 0.1);
    CHECK(together.refusal.find("toe, camber go together") != std::string::npos);
}

TEST_CASE("recipes hold on every kind of corner, its adjusters turned before") {
    const Car wren = wren_morning().car;
    for (const corners::Kind& kind : corners::kinds())
        for (int seed = 0; seed < test_size("recipes, corners of each kind", 2, 20); ++seed) {
            Car car = wren;
            Corner corner = corners::corner(kind, seed);
            const std::map<std::string, Purpose> purposes = {
                {"track rod", Purpose::toe},
                {"camber shim", Purpose::camber},
                {"upper front leg", Purpose::caster},
                {"upper rear leg", Purpose::caster},
                {kind.rocker ? "pushrod" : "spring shim", Purpose::ride_height}};
            std::erase_if(corner.adjusters, [&](const Adjuster& a) { return !purposes.contains(a.name); });
            corners::Random random("recipes", seed);
            for (Adjuster& adjuster : corner.adjusters) {
                adjuster.purpose = purposes.at(adjuster.name);
                adjuster.minutes = 1.0;
                Thread thread;
                thread.pitch_mm = 1.25;
                thread.step_turns = 1.0 / 24.0;
                thread.now_turns = random.within(1.0);
                adjuster.setting = thread;
            }
            car[corner.id] = corner;
            for (const Output output : four) {
                INFO(kind.name() << ", seed " << seed << ", " << name_of(output));
                const Recipes all = recipes(car, corner.id, {{name_of(output), 0.3}});
                const Recipe& r = all.recipes[0];
                REQUIRE(r.inside());
                const Outputs<double> now = outputs_of(car, corner.id, all.spring_length_mm);
                const Outputs<double> then =
                    outputs_of(with_settings(car, settings_with(car, r, false)), corner.id, all.spring_length_mm);
                for (const Output one : four)
                    CHECK_NEAR(then[index(one)] - now[index(one)], one == output ? 0.3 : 0.0, tolerances::recipe);
            }
        }
}

TEST_CASE("an output without a recipe, and an amount of nothing, are refused together") {
    const Car car = wren_morning().car;
    try {
        recipes(car, CornerId::front_left, {{"cambre", 1.0}, {"toe", 0.0}, {"caster", std::nan("")}});
        FAIL("must be refused");
    } catch (const InputError& error) {
        CHECK(std::string(error.what()) ==
              "cambre: has no recipe; did you mean \"camber\"?\n"
              "caster: must be a finite number\n"
              "toe: must not be 0");
    }
}

TEST_CASE("a recipe whose pack no shims make names the packs beside it") {
    Morning m = wren_morning();
    for (const RecipePart& part : recipe(m.car, CornerId::front_left, Output::toe, 0.1).parts)
        CHECK(part.not_made.empty());
    m.car.boxes_mm.at("front") = {1.0};
    const Recipe r = recipe(m.car, CornerId::front_left, Output::camber, 0.1);
    int packs = 0;
    for (const RecipePart& part : r.parts) {
        if (part.turns) CHECK(part.not_made.empty());
        if (part.turns) continue;
        ++packs;
        CHECK(part.not_made == "no shims at hand make " + mm_words(3.0 + part.amount_mm) +
                                   ": 3.0 mm (2.0 + 1.0 mm) or 4.0 mm (2.0 + 1.0 + 1.0 mm) can be made");
    }
    CHECK(packs == 1);
}

TEST_CASE("a recipe is asked for in words, toe also in mm at the flags") {
    const Car car = wren_morning().car;
    const Corner& corner = car[CornerId::front_left];
    CHECK(recipe_change(corner, "camber", "-1/4 deg").by == -0.25);
    CHECK(recipe_change(corner, "chassis_height", "+2 mm").by == 2.0);
    const ValueChange toe = recipe_change(corner, "toe", "+1 mm");
    CHECK(toe.at_flags_mm == 1.0);
    CHECK_NEAR(520.0 * std::sin(toe.by / deg_per_rad), 1.0, 1e-12);
    CHECK_THROWS_AS(recipe_change(corner, "camber", "+1 mm"), InputError);
    CHECK_NOTHROW(recipe_change(corner, "cambre", "whatever"));  // `recipes` refuses the name
}
