// One way to set the car: what is turned at each corner, why it is the best there, and what will be read then.
#pragma once

#include <cstdint>

#include "shimwise/motion/outputs.hpp"
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

/// An output with a target at a corner. What is not measured (caster) is the model's own value.
struct PlannedOutput {
    ValueId id;
    Target target;
    bool measured = true;
    bool asked = false;  // in the cost; otherwise a limit
    double now = 0.0;
    double predicted = 0.0;
    double uncertainty = 0.0;  // standard deviation of the next reading about the prediction; 0: never read
    bool within = false;
};

enum class EvaluatedOn { nonlinear_model, linear_model_first };
inline constexpr std::array<std::string_view, 2> evaluated_on_names = {"nonlinear_model", "linear_model_first"};

inline constexpr double most_combinations = 1e18;  // more are not counted

/// Why a corner's choice is the best one. Costs hold 1e-6 of a squared tolerance per squared step.
struct Proof {
    std::uint64_t combinations = 0;  // within limits, of the shims at hand
    EvaluatedOn on = EvaluatedOn::nonlinear_model;
    std::uint64_t evaluated = 0;   // combinations tried on the nonlinear model
    std::uint64_t neighbours = 0;  // of those, one and two adjusters a step away from the best
    bool proven = true;            // nothing better was left out; of `linear_model_first`: within the linear model
    bool stock_bound = false;      // the shared shims did not allow this corner's own best
    std::optional<double> second_cost;
    std::vector<double> second_settings;  // in the order of the corner's settings
};

struct CornerPlan {
    std::vector<PlannedSetting> settings;  // of every adjuster that the plan may turn
    std::vector<PlannedOutput> outputs;
    double cost = 0.0;
    double minutes = 0.0;
    bool within = true;
    bool guarded = false;  // inside tolerance less the guard band
    Proof proof;
};

/// A value of the whole car that follows from the corners' toe.
struct DerivedOutput {
    ValueId id;
    double now = 0.0;
    double predicted = 0.0;
    std::optional<Target> target;
    std::optional<bool> within;
};

/// What will be read next, with the same instruments and zeros, if the plan is done: normal about `predicted`. The
/// chance to pass is the probability of lower <= reading <= upper (math/box_probability.hpp).
struct NextReading {
    std::vector<ValueId> ids;
    Eigen::VectorXd predicted;
    Eigen::VectorXd lower, upper;  // target less and plus tolerance, limits included; infinite where there is none
    Eigen::VectorXd off;           // predicted less wanted value; 0 of a limit
    Eigen::VectorXd tolerance;     // infinite of a limit
    Eigen::MatrixXd covariance;    // repeat_covariance before and after, settability, thickness of changed shims
};

struct Choice {
    std::array<CornerPlan, corner_count> corners;
    std::vector<DerivedOutput> derived;
    WholeCarChange whole;  // the car once it stands again: heights and weights to expect
    double cost = 0.0;
    double minutes = 0.0;
    bool within = true;  // every target of toe, camber and caster, total toe and thrust angle; false: one was not read
    bool touches = false;  // something is turned or changed
    NextReading next;
};

}  // namespace shimwise
