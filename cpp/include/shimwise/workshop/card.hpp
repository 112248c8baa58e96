// The job in the working order of the trade, with the readings to expect after every step: all that a card on paper, a
// saved one and `done` need. card_text.hpp makes the text.
#pragma once

#include "shimwise/workshop/choose/chance.hpp"

namespace shimwise {

/// What a hand reads: the front flag less the rear one, the camber gauge, a height over its pad, a scale.
enum class ReadingOf { flags, gauge, height, scale };
inline constexpr std::array<std::string_view, 4> reading_of_names = {"flags", "gauge", "height", "scale"};

/// A reading to expect at a corner or a point of ride height, and how far from it one goes on: two standard deviations
/// of what comes anew with both readings, of what a hand misses at all that was turned so far, and of the model. mm,
/// deg, mm, kg.
struct CardReading {
    ReadingOf of = ReadingOf::flags;
    std::string at;  // "front_left"; of a height its point
    double expect = 0.0;
    double window = 0.0;
};

struct CardLine {
    std::string text;    // "front_left track rod: 1 1/2 flats longer (0.25 turn)"
    std::string corner;  // empty where it is about the car
    std::string key;     // of the adjuster; empty where nothing is turned
    double minutes = 0.0;
    std::string way_round;                               // "clockwise, seen from its outer end"; empty: not known
    std::optional<std::pair<double, double>> length_mm;  // eye to eye before and after, of a rod that is turned
    std::vector<std::string> ticks;                      // boxes of its own, each with these words
    std::vector<CardReading> expect;                     // once it is done
};

struct CardStep {
    int number = 0;  // of the working order
    std::string title;
    std::vector<CardLine> lines;
    bool boxes = false;  // each line is ticked off
};

/// What was measured, what is wanted, what comes of it. In the unit in which it is wanted: toe in degrees or, where its
/// target is so, in mm at the flags.
struct CardValue {
    std::string key;
    std::string unit;
    Asks asks = Asks::asked;         // of what a plan is judged by or keeps
    bool judged = false;             // it is one of these; else it was only read
    std::optional<double> measured;  // nothing: not read
    std::optional<double> uncertainty;
    std::optional<double> now;  // of a value that nobody reads: the model's own
    std::optional<double> value, tolerance, least, most;
    bool tolerance_is_common_practice = false;
    std::optional<double> then;
    std::optional<double> window;  // of the next reading about `then`
    std::optional<bool> within;    // `then`
};

struct Card {
    std::string car;
    std::string place, at;  // of the readings
    Which which = Which::closest;
    std::string title;  // which choice it is, and what it is within
    std::string why;    // this one and none of the others
    std::string frame;  // in which toe and camber are
    bool touches = false;
    double minutes = 0.0;
    std::optional<double> chance;  // to pass; nothing where nothing that is asked for was read
    std::vector<Doubt> doubts;
    std::vector<std::string> moves;  // what nobody asked for and yet moves beyond its common tolerance
    std::vector<std::string> cautions;
    std::vector<CardStep> steps;
    std::vector<CardValue> values;
    std::string proof;
    std::vector<std::string> notes;
};

/// Steps of a choice; what is expected at each is that of the whole car with all steps so far, which costs one state
/// of the car per line that is turned. Throws OutOfReach where the plan has no such choice.
Card card(const Plan& plan, const Car& car, Which which, const Chances& chances);
Card card(const Plan& plan, const Car& car, Which which);

/// What every card says once about safety; and the same in a few lines of 78 letters.
const std::vector<std::string>& cautions();
const std::vector<std::string>& cautions_in_short();

}  // namespace shimwise
