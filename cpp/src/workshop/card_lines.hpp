// Lines of a card: words that wrap under themselves, readings with their window and room to write.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/card_text.hpp"

namespace shimwise {

/// Letters, not bytes.
std::size_t letters(const std::string& text);

/// `text` after `head`, wrapped under itself or `under` the letter given: no line is wider than a card, a number stays
/// with the word behind it ("1 1/4 flats"), a word that is too long is cut.
std::vector<std::string> wrapped(const std::string& head, const std::string& text,
                                 std::optional<std::size_t> under = {});

/// Items side by side after `head`, two spaces between them, wrapped under the first; at most `a_row` in a line.
std::vector<std::string> in_rows(const std::string& head, const std::vector<std::string>& items, std::size_t a_row);

void append(std::vector<std::string>& lines, const std::vector<std::string>& more);

/// "FL" of a corner, any other name as it is.
std::string short_name(const std::string& name);

/// "front left toe", "ride height nose", "cross weight": the key of a value read aloud.
std::string value_words(const std::string& key);

/// "1.0 mm more at the front", "-2.62 deg", "30.1", "98.6": as the instrument shows it.
std::string shown_words(const CardReading& reading);

/// "flags 1.0 mm more at the front +-0.4 ______", "FL 30.1 +-0.3 ______"; a window is rounded up.
std::string reading_item(const CardReading& reading);

/// All of one kind, in their order.
std::vector<CardReading> of_kind(const std::vector<CardReading>& readings, ReadingOf of);

}  // namespace shimwise
