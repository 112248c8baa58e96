// Why a car reads otherwise than before: what the state explains, what the pads, what the turns, and what is left.
#pragma once

#include <string>
#include <vector>

#include "shimwise/workshop/choose/expect.hpp"
#include "shimwise/workshop/measure/differences.hpp"

namespace shimwise {

/// What one cause makes of every difference, by the model; 0 of a value that the model does not have.
struct Cause {
    enum class Kind { ballast, bars, struts, pads, turns };
    Kind kind = Kind::turns;
    std::string name;    // of the ballast; else of the kind
    std::string words;   // "driver 75.0 -> 0.0 kg"
    Eigen::VectorXd by;  // in the order of the differences
};
inline constexpr std::array<std::string_view, 5> cause_names = {"ballast", "bars", "struts", "pads", "turns"};

/// What of a difference no cause explains.
struct Left {
    double by = 0.0;
    double u = 0.0;
    bool unexplained = false;  // more than `beyond_noise` times u
    bool by_model = true;      // false: the model does not say what this value does
};

/// One cause that nobody said, and that alone would explain most of what is left.
struct Guess {
    std::string key;               // "ballast.driver", "pad.front_left", "rear_right.toe link"
    std::string words;             // "driver: 75.2 kg less than said"
    double amount = 0.0, u = 0.0;  // likeliest, kg of a ballast, else mm; its standard uncertainty
    std::string unit;
    double chi_square = 0.0, p = 1.0;  // of what is left then
};

struct Explained {
    Differences differences;
    std::vector<Cause> causes;  // ballast by ballast, bars, struts, pads, turns: one after the other on the car at rest
    std::vector<TurnedAdjuster> turned;
    std::vector<Left> left;           // in the order of the differences
    Eigen::MatrixXd left_covariance;  // of them
    /// Of all that is left and not derived, together: how often as much is left where nothing is.
    double chi_square = 0.0, p = 1.0;
    int degrees = 0;
    std::vector<Guess> guesses;  // the likeliest first; none where no more than noise is left
    CarHeld held = CarHeld::rest;
    std::vector<std::string> notes;
};

/// A guess takes this much from chi-square: 1 in 1000 of noise does. Another one is named beside the best where it
/// leaves no more than `guess_apart` beyond it, 20 to 1 in likelihood.
inline constexpr double guess_takes = 10.8, guess_apart = 6.0;
inline constexpr std::size_t most_guesses = 3;

/// difference = what is left + sum of causes, each the model's value after it less before it, at rest again. The
/// uncertainty of what is left: that of the difference, what the pads may be off by what they do to the car, what a
/// hand misses at every adjuster that was turned, and `usual_model_share` of each cause. Where the car does not stand
/// by the model, contacts are held, and only what the turns do to toe and camber is said. Precondition: both cars are
/// one, with the settings of each sheet. Throws OutOfReach where not even a corner by itself can stand,
/// std::invalid_argument where the adjusters are others.
Explained explain(const Measured& old, const Car& was, const Measured& now, const Car& is);

}  // namespace shimwise
