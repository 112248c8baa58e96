// Recipes of the whole car looked at in few words, and set on it again.
#pragma once

#include <cmath>
#include <map>

#include "catch.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/workshop/choose/car_recipe.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/choose/recipe_settings.hpp"
#include "workshop/morning.hpp"

namespace shimwise {

using Names = std::vector<std::string>;

inline Car wren() { return wren_morning().car; }

inline CarRecipe recipe(const Car& car, std::vector<CarAim> aims, std::optional<Names> keep = {}, Names turn = {},
                        const PadHeights& pads_mm = {}) {
    return car_recipe(rest_model(car), {std::move(aims), std::move(keep), std::move(turn)}, pads_mm);
}

inline Names aims_of(const CarRecipe& r) {
    Names names;
    for (const CarRecipeValue& v : r.values)
        if (v.aim) names.push_back(key(v.id));
    return names;
}
inline Names kept_of(const CarRecipe& r) {
    Names names;
    for (const CarRecipeValue& v : r.values)
        if (!v.aim) names.push_back(key(v.id));
    return names;
}
inline Names keys(const CarRecipe& r) {
    Names names;
    for (const RecipePart& part : r.parts) names.push_back(part.key);
    return names;
}
inline Names at_every_corner(const std::string& name) {
    Names all;
    for (const std::string_view corner : corner_names) all.push_back(std::string(corner) + "." + name);
    return all;
}

/// Values of the car re-read and put to rest once more, by name.
inline std::map<std::string, double> at_rest(const Car& car, const PadHeights& pads_mm = {}) {
    const RestModel model = rest_model(car);
    const RestState state = rest(model, pads_mm);
    std::map<std::string, double> values;
    for (const ValueId& output : rest_outputs(model)) values[column_name(output)] = value(state.values, output);
    const auto height = [&](const std::string& point) { return values.at("ride_height." + point + "_mm"); };
    values["front"] = 0.5 * (height("front_left") + height("front_right"));
    values["rear"] = 0.5 * (height("rear_left") + height("rear_right"));
    return values;
}

/// What every recipe inside the limits has to keep: its words are true of the car, exactly and as set.
inline void check_set_on(const Car& car, const CarRecipe& r, const PadHeights& pads_mm = {}) {
    REQUIRE(r.refusal.empty());
    REQUIRE(r.inside());
    REQUIRE(!r.parts.empty());
    const auto now = at_rest(car, pads_mm);
    const auto exact = at_rest(with_settings(car, settings_with(car, r, false)), pads_mm);
    const auto nearest = at_rest(with_settings(car, settings_with(car, r, true)), pads_mm);
    REQUIRE(r.outputs.size() == r.change.size());
    for (std::size_t o = 0; o < r.outputs.size(); ++o) {
        const std::string& name = column_name(r.outputs[o]);
        INFO(name);
        CHECK_NEAR(r.now[o], now.at(name), 1e-9);
        CHECK_NEAR(r.change[o], exact.at(name) - now.at(name), 1e-9);
        CHECK_NEAR(r.nearest_change[o], nearest.at(name) - now.at(name), 1e-9);
    }
    for (const CarRecipeValue& v : r.values) {
        INFO(key(v.id));
        CHECK_NEAR(v.change, v.by, tolerances::recipe);
        CHECK(r.nearest_within <= (std::fabs(v.nearest_change - v.by) <= v.tolerance));
    }
    double minutes = 0.0, nearest_minutes = 0.0;
    for (const RecipePart& part : r.parts) {
        minutes += part.minutes;
        const auto place = find_adjuster(car, part.key).value();
        const Adjuster& adjuster = car[place.corner].adjusters[place.adjuster];
        if (const Thread* thread = adjuster.thread()) {
            const double steps = part.nearest_mm / (thread->step_turns * thread->lead_mm());
            CHECK_NEAR(steps, std::round(steps), 1e-9);
            CHECK_NEAR(*part.turns * thread->lead_mm(), part.amount_mm, 1e-12);
        }
        CHECK(part.nearest_words.empty() == (part.nearest_mm == 0.0));
        if (part.nearest_mm != 0.0) nearest_minutes += part.minutes;
    }
    CHECK_NEAR(r.minutes, minutes, 1e-12);
    CHECK_NEAR(r.nearest_minutes, nearest_minutes, 1e-12);
    CHECK_NEAR(r.reach, 1.0, 0.0);
}

/// The car seen in a mirror: left and right changed over.
inline Car mirrored(const Car& car) {
    Car other = car;
    other.mass.cg_mm->y = -car.mass.cg_mm->y;
    for (const auto& [to, from] : {std::pair(0, 1), {1, 0}, {2, 3}, {3, 2}})
        for (std::size_t a = 0;
             a < car.corners[0].adjusters.size() && a < car.corners[std::size_t(to)].adjusters.size(); ++a)
            other.corners[std::size_t(to)].adjusters[a].setting = car.corners[std::size_t(from)].adjusters[a].setting;
    return other;
}

}  // namespace shimwise
