// What a recipe asks for, as settings.
#pragma once

#include "shimwise/workshop/choose/recipes.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

/// The parts of a recipe of a corner or of the car, in a settings file's words.
template <class AnyRecipe>
Settings settings_with(const Car& car, const AnyRecipe& recipe, bool nearest) {
    Settings settings;
    for (const RecipePart& part : recipe.parts) {
        const auto place = find_adjuster(car, part.key).value();
        const Adjuster& adjuster = car[place.corner].adjusters[place.adjuster];
        const double amount_mm = nearest ? part.nearest_mm : part.amount_mm;
        if (const Thread* thread = adjuster.thread())
            settings.turns[part.key] = thread->now_turns + amount_mm / thread->lead_mm();
        else
            settings.shims_mm[part.key] = {adjuster.stack()->total_mm() + amount_mm};
    }
    return settings;
}

}  // namespace shimwise
