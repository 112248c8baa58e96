// Measured, wanted -> the best whole steps and real shims of the whole car at rest.
#pragma once

#include "shimwise/workshop/amounts.hpp"
#include "shimwise/workshop/choose/choice.hpp"
#include "shimwise/workshop/doubt/doubts.hpp"

namespace shimwise {

enum class Which { nothing, closest, least_work };
inline constexpr std::array<std::string_view, 3> which_names = {"nothing", "closest", "least_work"};

/// What a person wants otherwise. Values by key ("ride_height.front_left"), or by a name that many have ("toe",
/// "ride_height"). Adjusters by key ("front_left.track rod"), corner ("front_left") or purpose ("camber").
struct PlanOptions {
    std::vector<std::string> keep = {}, free = {};  // values that stay within their common tolerance; that may go
    std::vector<std::string> turn = {};             // also what the plan would hold
    std::vector<std::string> forbid = {};
    std::vector<std::string> prefer = {};            // of plans that cost the same minutes: those that turn these
    std::map<std::string, Words> force = {};         // adjuster key -> amount
    std::vector<std::vector<std::string>> tie = {};  // adjusters that turn by equal steps
    std::optional<double> within_minutes = {};
    double model_share = usual_model_share;  // standard deviation of what the model is off, of every change
};

/// Adjusters of one purpose that are not turned, and what turning them too could take off the cost, at most: down to
/// what real-valued settings could reach on the linear model. 0 where they move nothing that is asked for.
struct HeldPurpose {
    Purpose purpose = Purpose::toe;
    std::vector<std::string> keys;
    double gain = 0.0;
};

/// Another way to set the car, nearly as good.
struct RunnerUp {
    std::vector<PlannedSetting> settings;  // those that are touched
    double cost = 0.0;
    double minutes = 0.0;
    bool within = false;
};

/// The linear problem about the closest plan, with all adjusters that may be turned: what a mixed-integer solver is
/// asked. x counts hand steps from as the car stands.
///   then = then_0 + effect x, lower <= then <= upper, x_i one of allowed[i], length_low <= lengths x <= length_high
/// Boxes that stacks share are left out: what cannot be met so cannot be met at all.
struct LinearPlan {
    std::vector<ValueId> ids;       // of values
    std::vector<std::string> keys;  // of adjusters; tied ones are one, by the first
    std::vector<Purpose> purposes;
    Eigen::VectorXd then_0, lower, upper;  // ends of targets and of what is kept, infinite where there is none
    Eigen::VectorXd scale;                 // by which a miss is judged: the tolerance
    Eigen::MatrixXd effect;
    std::vector<std::vector<double>> allowed;
    std::vector<bool> held;       // adjusters that the plan holds
    std::vector<bool> forbidden;  // of those the ones that nobody may turn
    Eigen::MatrixXd lengths;
    Eigen::VectorXd length_low, length_high;
};

struct Plan {
    Measured measured;
    std::vector<Comparison> compared;
    Choice nothing;
    Choice closest;
    std::optional<Choice> least_work;  // only where every target can be met
    std::optional<Choice> rounded;     // every adjuster to the step nearest to the real-valued best: for comparison
    std::vector<RunnerUp> runners_up;  // cheapest first, the closest plan not among them
    bool least_work_proven = false;    // no fewer minutes are enough
    std::vector<HeldPurpose> held;
    double model_share = usual_model_share;  // that it was made with
    LinearPlan linear;
    std::vector<std::string> notes;
    std::vector<Doubt> doubts;         // of car, readings and targets
    std::vector<ValueId> unread;       // targets that nothing read answers
    std::vector<ValueId> unpredicted;  // targets that were read, of which the model says nothing as the car is held

    const Choice* choice(Which which) const;
};

/// predicted = measured + (model after - model before), model: the whole car at rest on the pads that were read; on
/// solid struts where they were fitted; where it cannot stand, each corner's contact held on the ground, and said.
///   closest:    least sum of ((predicted - target)/tolerance)^2 over what is asked, limits kept
///   least work: fewest minutes among plans that meet every target and whose chance to pass is `near_enough` to that of
///               the closest
/// `known` are doubts that come before the plan's own. Throws OutOfReach where the car as it stands cannot be placed on
/// the ground, InputError for options that name nothing.
Plan plan(const Car& car, const Measured& measured, const Targets& targets, const PlanOptions& options = {},
          const std::vector<Doubt>& known = {});

/// Whether a verdict covers every target.
inline bool judges_all(const Plan& plan) { return plan.unread.empty() && plan.unpredicted.empty(); }

/// Whether a plan was found that brings every target in that is judged.
bool meets_targets(const Plan& plan);

/// How many targets a verdict covers.
std::size_t judged(const Plan& plan);

/// The car with a choice done: what `settings_after` writes and `card` walks to.
Car car_after(const Car& car, const Plan& plan, Which which);

/// Settings of the car once the choice is done, boxes of shims included.
Settings settings_after(const Car& car, const Plan& plan, Which which);

}  // namespace shimwise
