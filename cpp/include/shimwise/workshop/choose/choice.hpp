// One way to set the car: what is turned at every corner, what the whole car reads then, and why nothing is better.
#pragma once

#include <cstdint>

#include "shimwise/workshop/choose/predict.hpp"
#include "shimwise/workshop/choose/stock.hpp"
#include "shimwise/workshop/measure/compare.hpp"

namespace shimwise {

/// One adjuster of a plan. A setting is turns of a thread from the drawn length, or the thickness of a stack in mm.
struct PlannedSetting {
    CornerId corner = CornerId::front_left;
    std::size_t adjuster = 0;
    std::string key;  // "front_left.track rod"
    Purpose purpose = Purpose::toe;
    double before = 0.0;
    double after = 0.0;
    StackChoice shims;  // of a stack
    bool touched = false;
    double minutes = 0.0;  // 0 where untouched
};

/// Why a value stands in a plan. asked: in the cost. limit: a least or most, or a wanted value that follows from those
/// in the cost. kept: nobody asked for it, and it stays within its common tolerance. let_go: it could not.
enum class Asks { asked, limit, kept, let_go };
inline constexpr std::array<std::string_view, 4> asks_names = {"asked", "limit", "kept", "let_go"};

/// A value that a plan is judged by, or keeps. What is not measured (caster) is the model's own value.
struct PlannedValue {
    ValueId id;
    Asks asks = Asks::asked;
    Target target;  // of what is kept or let go: as it stands, within its common tolerance
    bool measured = true;
    double now = 0.0;
    double then = 0.0;
    double deviation = 0.0;  // standard deviation of the next reading about `then`; 0: never read
    bool within = false;

    bool is_target() const { return asks == Asks::asked || asks == Asks::limit; }
};

/// Why a plan is the best one. Costs hold 1e-6 of a squared tolerance per squared step.
struct Proof {
    double combinations = 0.0;  // of what may be set
    std::uint64_t listed = 0;   // plans that come near enough to be compared on the nonlinear car
    std::uint64_t states = 0;   // of the whole car that were worked out
    double model_error = 0.0;   // largest |nonlinear - linear| of a listed plan's root of the cost
    double bound = 0.0;         // no plan costs less on the linear model
    bool proven = false;        // nothing better among what may be set, within the model's error
};

/// What will be read next, with the same instruments and zeros, if the plan is done: normal about `predicted`. The
/// chance to pass is the probability of lower <= reading <= upper (math/box_probability.hpp).
struct NextReading {
    std::vector<ValueId> ids;
    Eigen::VectorXd predicted;
    Eigen::VectorXd lower, upper;  // target less and plus tolerance, limits included; infinite where there is none
    Eigen::VectorXd off;           // predicted less wanted value; 0 of a limit
    Eigen::VectorXd tolerance;     // infinite of a limit
    Eigen::MatrixXd covariance;    // repeat_covariance before and after, settability, thickness of changed shims, and
                                   // what the model may be off of every change
};

struct Choice {
    std::vector<PlannedSetting> settings;  // of every adjuster that the plan may turn, corner by corner
    std::vector<PlannedValue> values;
    WholeCarChange whole;  // the car once it stands again
    double cost = 0.0;
    double minutes = 0.0;
    bool within = true;    // every target; false: one was not read
    bool touches = false;  // something is turned or changed
    NextReading next;
    Proof proof;
};

}  // namespace shimwise
