// Measured, wanted -> the best whole steps and real shims, each corner by itself, its contact held.
#pragma once

#include "shimwise/workshop/choose/choice.hpp"
#include "shimwise/workshop/doubt/doubts.hpp"

namespace shimwise {

enum class Which { nothing, closest, least_work };
inline constexpr std::array<std::string_view, 3> which_names = {"nothing", "closest", "least_work"};

struct Plan {
    Measured measured;
    std::vector<Comparison> compared;
    Choice nothing;
    Choice closest;
    std::optional<Choice> least_work;   // only where every planned corner can be brought within tolerance
    std::vector<std::string> refusals;  // one for each corner that cannot meet its targets: the nearest, and what binds
    std::vector<std::string> notes;
    std::vector<Doubt> doubts;    // of car, readings and targets
    std::vector<ValueId> unread;  // targets that nothing read answers: no verdict covers them

    const Choice* choice(Which which) const;
};

struct PlanOptions {
    double enumerate_at_most = 1e5;  // combinations of a corner that are all tried on the nonlinear model
    std::size_t linear_best = 50;    // otherwise: of the linear model, tried on the nonlinear one
};

/// predicted = measured + (model after - model before), ground's frame: in the search each corner with its contact on
/// the ground, in what is told of a choice the whole car at rest. Chosen among adjusters whose purpose is asked for: a
/// value is wanted, or a limit is not met now.
///   closest:    least sum of ((predicted - target)/tolerance)^2; no limit broken first
///   least work: fewest minutes inside tolerance less one standard deviation of what will be read next, at most half
///               the tolerance; where nothing lies inside, inside tolerance
/// Corners that share a box of shims are chosen together: best first, until the shims make every stack at once.
/// `known` are doubts that come before the plan's own. Throws OutOfReach where the car as it stands cannot be placed on
/// the ground.
Plan plan(const Car& car, const Measured& measured, const Targets& targets, const PlanOptions& options = {},
          const std::vector<Doubt>& known = {});

/// The car with a choice done: what `settings_after` writes and `card` walks to.
Car car_after(const Car& car, const Plan& plan, Which which);

/// Settings of the car once the choice is done, boxes of shims included.
Settings settings_after(const Car& car, const Plan& plan, Which which);

}  // namespace shimwise
