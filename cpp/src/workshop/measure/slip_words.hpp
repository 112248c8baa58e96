// A slip as a sentence says it.
#pragma once

#include "shimwise/workshop/measure/contradictions.hpp"

namespace shimwise {

/// Whether noise alone explains a chi-square.
bool fits(double chi_square, int degrees);
std::string slip_words(const Slip& slip);
/// Fills in what is to be said before anything is turned, where something is.
void say(Contradictions& found);

}  // namespace shimwise
