// What a car file calls the steps of a thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace shimwise {

/// Turns of "flat", "half_turn", "1/12 turn"; nothing where it is no such word.
std::optional<double> step_turns(const std::string& word);

/// The word of a step; of 0 turns "anywhere".
std::string step_word(double turns);

/// All words but "1/n turn".
std::vector<std::string> step_words();

}  // namespace shimwise
