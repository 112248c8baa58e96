// A card as it is printed, for cold hands: lines of at most 80 letters.
#pragma once

#include "shimwise/workshop/card.hpp"

namespace shimwise {

inline constexpr std::size_t card_columns = 80;
inline constexpr std::size_t first_page_lines = 24;

/// All that one must know: which plan and why, what is turned at every corner, what is read then, the cautions. At most
/// `first_page_lines` lines; what does not fit is counted.
std::vector<std::string> first_page(const Card& card);

/// The steps in working order, with room to write.
std::vector<std::string> steps_page(const Card& card);

/// What was measured and what comes of it, the proof, doubts and notes.
std::vector<std::string> last_page(const Card& card);

}  // namespace shimwise
