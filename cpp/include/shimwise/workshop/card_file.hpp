// The card as it is saved, for the day after.
#pragma once

#include "shimwise/workshop/card.hpp"
#include "shimwise/workshop/files/inputs.hpp"

namespace shimwise {

inline constexpr std::string_view card_format = "shimwise-card/1";
inline constexpr int last_step = 10;

/// Writes a new JSON file: format, car, version, `inputs` with their digests and their `roles`, the choice, the chance
/// to pass of every choice, the card, and the settings before and after it. `inputs` are what the plan was made from:
/// car, settings if there are any, readings, targets. Throws InputError where the file exists.
void save_card(const std::string& path, const Plan& plan, const Car& car, Which which,
               const std::vector<Input>& inputs);

/// A card as JSON, the key `card` of such a file.
std::string card_json(const Card& card);

/// A saved card, to look at: from its file alone. One of an earlier version has less in it. Throws InputError.
Card load_card(const std::string& path);

/// The settings once the steps of a saved card are done, all or those up to step `through`. What was turned counts from
/// the car as the card took it, so `inputs`, the car file and the settings file if there is one, must be those that it
/// was made from. Throws InputError, also where steps and settings of the card disagree.
Settings settings_of_card(const std::string& path, const Car& car, const std::vector<Input>& inputs,
                          std::optional<int> through = {});

}  // namespace shimwise
