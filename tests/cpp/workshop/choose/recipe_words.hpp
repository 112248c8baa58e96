// Recipes asked for and looked at in few words.
#pragma once

#include "shimwise/workshop/choose/recipes.hpp"

#include <algorithm>

#include "catch.hpp"

namespace shimwise {

using Shims = std::vector<double>;

inline constexpr std::array<CornerId, corner_count> all_corners = {CornerId::front_left, CornerId::front_right,
                                                                   CornerId::rear_left, CornerId::rear_right};
inline constexpr std::array<Output, 4> four = {Output::toe, Output::camber, Output::caster, Output::chassis_height};
inline constexpr Hold spring_held = {Held::spring, {0.0, 0.0, 1.0}};

inline std::string name_of(Output output) { return std::string(output_list[index(output)].name); }
inline bool keeps(const Recipe& recipe, Output output) {
    return std::find(recipe.kept.begin(), recipe.kept.end(), output) != recipe.kept.end();
}

inline Recipe recipe(const Car& car, CornerId id, Output output, double by) {
    const Recipes all = recipes(car, id, {{name_of(output), by}});
    REQUIRE(all.recipes.size() == 1);
    REQUIRE(all.recipes[0].output == output);
    return all.recipes[0];
}

inline std::vector<std::string> names(const Recipe& recipe) {
    std::vector<std::string> all;
    for (const RecipePart& part : recipe.parts) all.push_back(part.key.substr(part.key.find('.') + 1));
    return all;
}

inline Outputs<double> outputs_of(const Car& car, CornerId id, double spring_length_mm) {
    return outputs_at(setup(car[id]), spring_held, spring_length_mm);
}

inline double step_mm(const Adjuster& adjuster) {
    return adjuster.thread() ? adjuster.thread()->step_turns * adjuster.thread()->lead_mm() : 0.1;  // thinnest shim
}

}  // namespace shimwise
