// What a plan is judged by: the values that are asked for, those that are limits, and those that it keeps.
#pragma once

#include <Eigen/Core>

#include "shimwise/workshop/choose/choice.hpp"

namespace shimwise {

struct Wanted {
    ValueId id;
    Asks asks = Asks::asked;
    Target target;
    bool measured = true;
    std::optional<Target> keeps;  // of a least or most that holds already: near where it stands, too
    bool firm = false;            // somebody asked to keep it
    double now = 0.0;
    double scale = 0.0;  // by which a miss is judged: its tolerance, or what is common practice
    std::optional<double>
        aim;  // where the cost wants it: the target of what is asked, the end that a limit cannot keep
    double aim_tolerance = 0.0;
    double low = 0.0, high = 0.0;  // between which it is to lie whatever else is gained; infinite where there is no end

    bool in_cost() const { return aim.has_value(); }
    bool is_target() const { return asks == Asks::asked || asks == Asks::limit; }
    /// Kept, and may be let go.
    bool can_go() const { return !firm && (asks == Asks::kept || keeps); }
    /// Where it is kept. Precondition: it is.
    const Target& kept_at() const { return keeps ? *keeps : target; }
};

/// Values in the groups in which they enter a plan: toe, camber, caster, heights, differences, shares, sums.
std::vector<std::vector<ValueId>> groups_of(const Car& car);

/// One that has a target, or nothing where nothing answers it. `by_model`: its value on the model as it stands.
std::optional<Wanted> wanted(const ValueId& id, const Target& target, const Measured& measured,
                             std::optional<double> by_model);

/// Toe of a wheel of which only the axle's total was read: what the total is off is shared evenly with the other wheel,
/// as a steering does that centres itself.
std::optional<double> share_of_total_toe(const ValueId& id, const Measured& measured, const Targets& targets);

/// One that nobody asked for and that is to stay within its common tolerance.
std::optional<Wanted> kept(const ValueId& id, const Measured& measured, std::optional<double> by_model, const Car& car);

/// One with a least or a most that it keeps as it stands: it stays near that, too.
Wanted kept_too(Wanted one, const Car& car);

/// The same about another value.
Wanted kept_about(Wanted one, double value);

/// Sum of ((then - target) / tolerance)^2 over what is in the cost.
double misfit(const std::vector<Wanted>& wanted, const Eigen::VectorXd& then);

/// Sum of (miss / scale)^2 over all that is to lie between two ends.
double broken(const std::vector<Wanted>& wanted, const Eigen::VectorXd& then);

/// Whether every target is met.
bool meets_targets(const std::vector<Wanted>& wanted, const Eigen::VectorXd& then);

/// The same value as a limit: its target is no longer in the cost.
Wanted as_limit(Wanted one);
/// The same value, which may go where it goes.
Wanted as_let_go(Wanted one);
/// A limit with a wanted value as a wish like others, asked for: what it follows from is then not given up for it.
Wanted as_wish(Wanted one);
/// The same value where it cannot lie between its ends: brought near the one that it misses at `nearest`, the nearest
/// that it can come. That miss counts as one tolerance at least, so that what can be met is not given up for it.
/// Unchanged where `nearest` is between them.
Wanted as_near_as_can_be(Wanted one, double nearest);

}  // namespace shimwise
