// The job in the working order of the trade, with the readings to expect after every step.
#pragma once

#include "shimwise/workshop/choose/expect.hpp"
#include "shimwise/workshop/choose/plan.hpp"

namespace shimwise {

struct CardLine {
    std::string text;    // "front_left track rod: 1 1/2 flats longer (0.25 turn)"
    std::string corner;  // empty where it is about the car
    std::string key;     // of the adjuster; empty where nothing is turned
    double minutes = 0.0;
    std::optional<Expectation> expect;
};

struct CardStep {
    int number = 0;  // of the working order
    std::string title;
    std::vector<CardLine> lines;
    bool boxes = false;  // each line is ticked off
};

struct Card {
    std::string car;
    Which which = Which::closest;
    std::string title;  // which choice it is, and what it is within
    std::string frame;  // in which toe and camber are
    bool touches = false;
    double minutes = 0.0;
    std::vector<std::string> cautions;
    std::vector<CardStep> steps;
    std::vector<std::string> refusals;
    std::vector<std::string> notes;
};

/// Steps of a choice; what is expected at each is that of the whole car with all steps done so far. Throws OutOfReach
/// where the plan has no such choice.
Card card(const Plan& plan, const Car& car, Which which);

/// What every card says once about safety.
const std::vector<std::string>& cautions();

}  // namespace shimwise
