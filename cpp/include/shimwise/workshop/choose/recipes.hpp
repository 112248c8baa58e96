// One output alone: the turns and shims that move it and leave the others where they are.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/workshop/amounts.hpp"
#include "shimwise/workshop/choose/stock.hpp"

namespace shimwise {

/// What a recipe may move, with the purpose of the adjusters that move it.
struct RecipeOutput {
    Output output;
    Purpose purpose;
};
inline constexpr std::array<RecipeOutput, 4> recipe_outputs = {{{Output::toe, Purpose::toe},
                                                                {Output::camber, Purpose::camber},
                                                                {Output::caster, Purpose::caster},
                                                                {Output::chassis_height, Purpose::ride_height}}};

/// By how much one of these is to change at a corner, in words; toe also in mm at the flags. An unknown name is left
/// for `recipes` to refuse. Throws InputError.
ValueChange recipe_change(const Corner& corner, const std::string& output, const Words& words);

struct RecipePart {
    std::size_t adjuster = 0;
    std::string key;              // "front_left.track rod"
    double amount_mm = 0.0;       // exact; + = longer, or thicker
    std::optional<double> turns;  // the same of a thread
    std::string words;            // "0.413 turn longer"
    double minutes = 0.0;
    // What can be set nearest to it: all parts together, inside the limits, no shim used twice.
    double nearest_mm = 0.0;
    std::optional<StackChoice> nearest_shims;
    std::string nearest_words;  // "2 1/2 flats longer (0.417 turn)"; empty: leave it
    std::string not_made;       // of a pack: what can be made beside it, where nothing is as near as a thin shim
};

struct Recipe {
    Output output = Output::toe;
    double by = 0.0;           // deg or mm
    std::vector<Output> kept;  // what it leaves where it is
    std::vector<RecipePart> parts;
    Outputs<double> change{};          // of all outputs, done exactly
    Outputs<double> nearest_change{};  // of all outputs, the nearest settings set; as `change` where over the limits
    double minutes = 0.0;
    double nearest_minutes = 0.0;
    std::vector<std::string> limits;  // those that it, or all that can be set near it, would break: then it is a rate
    double reach = 0.0;               // how far it goes inside the limits, with any of the adjusters, at most `by`
    std::string refusal;              // why there is none; then there are no parts

    bool inside() const { return refusal.empty() && limits.empty(); }
};

struct Recipes {
    CornerId corner = CornerId::front_left;
    double spring_length_mm = 0.0;  // held
    Outputs<double> now{};
    std::vector<Recipe> recipes;
};

/// Recipes of a corner as it is set, spring length held (as on solid struts), chassis frame, exact on the nonlinear
/// model to `tolerances::recipe`:
///     out(amounts) = out(0) + by for its output, out(amounts) = out(0) for the other outputs of the list.
/// Outputs without an adjuster of their purpose at this corner are not kept, and have no recipe. Which adjusters: those
/// of the four purposes; the set with the fewest minutes that does it inside the limits, else the fewest minutes; of
/// equal ones the least movement, the sum of squared steps. `by`: only these outputs, by these amounts; empty: each by
/// 1 deg or 1 mm. Throws InputError where `by` names another output or no amount, OutOfReach where the corner as it
/// stands does not assemble.
Recipes recipes(const Car& car, CornerId corner, const std::map<std::string, double>& by = {});

}  // namespace shimwise
