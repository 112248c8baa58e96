#include "shimwise/workshop/choose/recipes.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/recipe_choice.hpp"
#include "workshop/choose/recipe_solver.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

std::string name_of(Output output) { return std::string(output_list[index(output)].name); }

class Finder {
public:
    Finder(const Car& car, CornerId id)
        : corner_(car[id]),
          kept_(kept_outputs()),
          bench_(car, places_of(corner_)),
          solver_(setup(corner_), kept_, bench_.step_mm()) {
        AdjusterSet usable;
        for (std::size_t a = 0; a < corner_.adjusters.size(); ++a)
            for (const RecipeOutput& one : recipe_outputs)
                if (corner_.adjusters[a].purpose == one.purpose) usable.push_back(a);
        // As many as there are outputs are enough, and one more lets two share what a limit keeps either from doing.
        sets_ = sets_by_minutes(usable, bench_.minutes(), kept_.size() + 1);
    }

    const RecipeSolver& solver() const { return solver_; }
    Recipe recipe(const RecipeOutput& asked, double by) const;

private:
    std::vector<Output> kept_outputs() const {
        std::vector<Output> kept;
        for (const RecipeOutput& one : recipe_outputs)
            if (std::any_of(corner_.adjusters.begin(), corner_.adjusters.end(),
                            [&](const Adjuster& a) { return a.purpose == one.purpose; }))
                kept.push_back(one.output);
        return kept;
    }
    static std::vector<AdjusterPlace> places_of(const Corner& corner) {
        std::vector<AdjusterPlace> places;
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a) places.push_back({corner.id, a});
        return places;
    }
    VectorXd change_of(Output output, double by) const {
        VectorXd change = VectorXd::Zero(static_cast<Index>(kept_.size()));
        for (std::size_t o = 0; o < kept_.size(); ++o)
            if (kept_[o] == output) change(static_cast<Index>(o)) = by;
        return change;
    }

    void tell(Recipe& recipe, const RecipeFound& found) const;
    bool set_nearest(const RecipeFound& found, std::vector<RecipePart>& parts) const;
    std::string moved_together() const;

    const Corner& corner_;
    std::vector<Output> kept_;
    RecipeBench bench_;
    RecipeSolver solver_;
    std::vector<WorkSet> sets_;
};

/// Steps and packs that can be set together inside the limits and lie nearest; false where there are none.
bool Finder::set_nearest(const RecipeFound& found, std::vector<RecipePart>& parts) const {
    const AdjusterSet& set = found.set.adjusters;
    std::vector<std::vector<NearSetting>> near;
    for (std::size_t a = 0; a < set.size(); ++a)
        near.push_back(bench_.settings_near(set[a], found.solution.amounts_mm[a]));
    std::optional<std::vector<StackChoice>> packs;
    const auto amounts_mm = nearest_together(near, [&](const std::vector<double>& together_mm) {
        return bench_.broken(set, together_mm).empty() && (packs = bench_.packs_of(set, together_mm)).has_value();
    });
    if (amounts_mm) bench_.set_nearest(set, parts, *amounts_mm, *packs);
    return amounts_mm.has_value();
}

/// A recipe that keeps the limits but near which nothing that can be set does, is a rate too.
void Finder::tell(Recipe& recipe, const RecipeFound& found) const {
    const AdjusterSet& set = found.set.adjusters;
    recipe.limits = found.limits;
    recipe.parts = bench_.parts(set, found.solution.amounts_mm);
    recipe.minutes = found.set.minutes;
    recipe.change = recipe.nearest_change = solver_.change(set, found.solution.amounts_mm);
    recipe.reach = found.limits.empty()
                       ? recipe.by
                       : recipe.by * reach_of(sets_, solver_, bench_, change_of(recipe.output, recipe.by));
    if (!found.limits.empty()) return;
    if (!set_nearest(found, recipe.parts)) {
        recipe.limits = bench_.not_settable(set, found.solution.amounts_mm);
        return;
    }
    std::vector<double> nearest_mm;
    for (const RecipePart& part : recipe.parts) {
        nearest_mm.push_back(part.nearest_mm);
        if (!part.nearest_words.empty()) recipe.nearest_minutes += part.minutes;
    }
    recipe.nearest_change = solver_.change(set, nearest_mm);
}

std::string Finder::moved_together() const {
    std::string names;
    for (const Output output : kept_) names += (names.empty() ? "" : ", ") + spaced_words(name_of(output));
    return names;
}

Recipe Finder::recipe(const RecipeOutput& asked, double by) const {
    Recipe recipe;
    recipe.output = asked.output;
    recipe.by = by;
    for (const Output output : kept_)
        if (output != asked.output) recipe.kept.push_back(output);
    if (recipe.kept.size() == kept_.size()) {
        recipe.refusal = "this corner has no adjuster for " + spaced_words(purpose_names[index(asked.purpose)]) +
                         ": it moves along with the others";
        return recipe;
    }
    if (const auto found = least_work(sets_, solver_, bench_, change_of(asked.output, by))) {
        tell(recipe, *found);
        return recipe;
    }
    const bool able = std::any_of(sets_.begin(), sets_.end(), [&](const WorkSet& set) {
        return solver_.can(set.adjusters, change_of(asked.output, by));
    });
    recipe.refusal = able ? "the corner does not assemble that far"
                          : "no adjusters of this corner move it alone: " + moved_together() + " go together";
    recipe.reach = by * reach_of(sets_, solver_, bench_, change_of(asked.output, by));
    return recipe;
}

double asked_by(const std::map<std::string, double>& by, Output output) {
    const auto found = by.find(name_of(output));
    return found == by.end() ? 1.0 : found->second;
}

void check_asked(const std::map<std::string, double>& by) {
    std::vector<std::string> names;
    for (const RecipeOutput& one : recipe_outputs) names.push_back(name_of(one.output));
    std::vector<Problem> problems;
    for (const auto& [name, amount] : by) {
        if (std::find(names.begin(), names.end(), name) == names.end())
            problems.push_back({"", 0, 0, name, "", "has no recipe" + did_you_mean(name, names)});
        else if (!std::isfinite(amount))
            problems.push_back({"", 0, 0, name, "", "must be a finite number"});
        else if (amount == 0.0)
            problems.push_back({"", 0, 0, name, "", "must not be 0"});
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

}  // namespace

ValueChange recipe_change(const Corner& corner, const std::string& output, const Words& words) {
    for (const RecipeOutput& one : recipe_outputs) {
        if (name_of(one.output) != output) continue;
        const bool at_flags = one.output == Output::toe;
        return value_change(output, words, output_list[index(one.output)].unit,
                            at_flags ? std::optional(corner.wheel.flag_span_mm) : std::nullopt);
    }
    return {1.0, {}};
}

Recipes recipes(const Car& car, CornerId id, const std::map<std::string, double>& by) {
    check_asked(by);
    const Finder finder(car, id);
    Recipes all;
    all.corner = id;
    all.spring_length_mm = finder.solver().spring_length_mm();
    all.now = finder.solver().now();
    for (const RecipeOutput& one : recipe_outputs)
        if (by.empty() || by.contains(name_of(one.output)))
            all.recipes.push_back(finder.recipe(one, asked_by(by, one.output)));
    return all;
}

}  // namespace shimwise
