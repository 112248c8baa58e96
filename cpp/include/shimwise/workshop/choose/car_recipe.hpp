// The whole car in real turns: a height, the rake or the cross weight alone, at rest on its springs.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/rest/solve.hpp"
#include "shimwise/workshop/amounts.hpp"
#include "shimwise/workshop/choose/recipes.hpp"

namespace shimwise {

/// One value that is to change: "front_height" by 2 mm.
struct CarAim {
    std::string what;
    double by = 0.0;
    std::optional<double> at_flags_mm = {};  // toe that was given so
};
/// An aim in words, in the value's own unit; toe of a wheel also in mm at the flags. An unknown name is left for
/// `car_recipe` to refuse with all others. Throws InputError.
CarAim car_aim(const RestModel& model, const std::string& what, const Words& words);

/// Values are named as by `car_recipe_names`.
struct CarRecipeAsk {
    std::vector<CarAim> aims;
    /// What stays; also "others", what is kept where this is left out, and "toe", "camber", "caster", "spring_length"
    /// of all four wheels. Left out: the height, rake and roll of the chassis and the cross weight, as far as the aims
    /// leave them free; of a height at one end the one at the other end, of a point those beside it; no weight beside a
    /// weight.
    std::optional<std::vector<std::string>> keep;
    /// What may turn: purposes, adjusters by name ("pushrod": at every corner), or by key ("front_left.pushrod").
    /// Empty: what is there for ride height and corner weight, and the purpose of whatever else is aimed at or kept.
    std::vector<std::string> turn;
};

/// Ride heights of the ends ("front_height", "rear_height": the mean of left and right; "mean_height": of both), then
/// every value at rest (`rest_outputs`) without its unit: "rake", "cross_weight", "ride_height.front_left",
/// "front_left.toe". The unit may be written, too.
std::vector<std::string> car_recipe_names(const RestModel& model);

/// What is aimed at or kept. `change` and `nearest_change` are as the recipe's.
struct CarRecipeValue {
    ValueId id;
    bool aim = false;
    double by = 0.0;                    // 0 where it is kept
    std::optional<double> at_flags_mm;  // of toe that was given so
    double tolerance = 0.0;             // by which the nearest settings are weighed against each other
    double now = 0.0;
    double change = 0.0;
    double nearest_change = 0.0;
};

struct CarRecipe {
    std::vector<CarRecipeValue> values;  // aims first, then what is kept
    std::vector<RecipePart> parts;
    std::vector<ValueId> outputs;  // every value of the car, for the three below
    std::vector<double> now;
    std::vector<double> change;          // done exactly
    std::vector<double> nearest_change;  // the nearest settings set; as `change` where over the limits
    double minutes = 0.0;
    double nearest_minutes = 0.0;
    bool nearest_within = false;      // the nearest settings meet every value within its tolerance
    std::vector<std::string> limits;  // those that it, or all that can be set near it, would break: then it is a rate
    double reach = 0.0;               // which part of the aims goes inside the limits, at most 1
    std::string refusal;              // why there is none; then there are no parts
    std::vector<std::string> notes;

    bool inside() const { return refusal.empty() && limits.empty(); }
};

/// The turns that change every aim by its amount and leave what is kept, exact on the re-solved car at rest to
/// `tolerances::recipe` in each value's unit. Which adjusters: the set with the fewest minutes that does it inside the
/// limits, else the fewest minutes; of equal ones the least movement, the sum of squared steps. All sets of at most one
/// more adjuster than there are values are tried; where these are more than a hundred thousand, a note says that
/// adjusters were dropped one by one instead, the dearest first; another note where the car was put to rest too often
/// for the search to end. The nearest settings: least sum of squared misses,
/// each over its tolerance, by integer least squares about the exact amounts; the best of its list on the re-solved
/// car. Throws InputError (every fault at once) and, where the car as it stands is not at rest, OutOfReach.
CarRecipe car_recipe(const RestModel& model, const CarRecipeAsk& ask, const PadHeights& pads_mm = {});

}  // namespace shimwise
