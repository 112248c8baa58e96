// What a card says of its choice: how it comes out, why this one, what else it moves, what proves it.
#pragma once

#include "workshop/card_walk.hpp"

namespace shimwise {

/// "Least work, 57 minutes: inside every tolerance by prediction."
std::string card_title(const Plan& plan, const Choice& choice, Which which);

/// Beside the other choices and touching nothing.
std::string why_words(const Plan& plan, Which which, const Chances& chances);

/// What is not asked for and moves beyond its common tolerance, on the whole walk.
std::vector<std::string> moves_unasked(const Plan& plan, const Choice& choice, const CardWalk& walk);

std::vector<CardValue> card_values(const Plan& plan, const Choice& choice, const CardWalk& walk);

std::string proof_words(const Plan& plan, Which which);

}  // namespace shimwise
