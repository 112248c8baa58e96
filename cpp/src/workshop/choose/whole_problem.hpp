// The whole car's choice as numbers: what may be set to what, what is wanted, and what a combination would read.
#pragma once

#include <map>

#include "shimwise/math/integer_least_squares.hpp"
#include "workshop/choose/held_car.hpp"
#include "workshop/choose/movable.hpp"
#include "workshop/choose/wanted.hpp"

namespace shimwise {

/// For every movable a place in its settings.
using Combination = std::vector<std::size_t>;

struct WholePlan {
    Combination at;
    Eigen::VectorXd then;  // of what is wanted
    double cost = 0.0;     // misfit and 1e-6 a squared step
    double misses = 0.0;   // of what is to lie between two ends: sum of squares over scales
    double minutes = 0.0;
    bool within = false;     // of every target
    bool untouched = false;  // as the car stands, be it beyond a limit
    ContactSet contacts;
    std::vector<PackAt> packs;  // of stacks
};

/// Every target, and every limit.
inline bool meets_all(const WholePlan& plan) { return plan.within && !(plan.misses > 0.0); }

/// Fewer misses, then less cost.
bool nearer(const WholePlan& a, const WholePlan& b);

/// The linear model about a plan. x counts steps from as the car stands.
///   cost = |A x - b|^2,  conditions.low <= conditions.rows x <= conditions.high,  then = then_0 + effect x
struct WholeLinear {
    Combination about;
    Eigen::MatrixXd A;
    Eigen::VectorXd b;
    Eigen::MatrixXd effect;   // of a step of each movable on each wanted value
    Eigen::MatrixXd of_each;  // the same of each of its places alone, in the order of `Movables::places`
    Eigen::VectorXd then_0;
    std::optional<Eigen::RowVectorXd> rocking;  // of a step of each movable, mm; of solid struts
    double rocking_0 = 0.0;
    IntegerConditions conditions;  // of wanted values, of rocking, of shared lengths
};

class WholeProblem {
public:
    /// `within_minutes`: no plan takes longer.
    WholeProblem(const Car& car, const Measured& measured, HeldCar& held, Movables movables, std::vector<Wanted> wanted,
                 std::optional<double> within_minutes);

    const Car& car() const { return car_; }
    const Measured& measured() const { return measured_; }
    const Movables& movables() const { return movables_; }
    const std::vector<Wanted>& wanted() const { return wanted_; }
    std::uint64_t states() const { return states_; }
    double combinations() const;

    /// Every movable as it stands, or where that breaks a limit at the nearest that may be set.
    Combination present() const;
    /// As these settings say, all else as it stands.
    Combination with(const std::vector<PlannedSetting>& settings) const;
    Eigen::VectorXd steps(const Combination& at) const;
    /// The settings of these steps.
    Combination combination(const Eigen::VectorXd& steps) const;
    std::vector<AllowedValues> allowed() const;
    Eigen::VectorXd minutes() const;

    /// Nothing where the car cannot stand so, or the shims do not make it. Tried once, then known.
    const WholePlan* plan(const Combination& at);

    /// Those that were tried and stand, nearest first, at most so many.
    std::vector<const WholePlan*> nearest_known(std::size_t count) const;

    /// Precondition: `plan(about)` stands. `slack`: by which the ends of each wanted value are widened. `inside`: the
    /// tolerances of what is asked are limits too.
    WholeLinear linear_about(const Combination& about, const Eigen::VectorXd& slack, bool inside = false);

private:
    Amounts amounts(const Combination& at) const;
    std::optional<std::vector<PackAt>> packs(const Combination& at) const;
    bool lengths_allowed(const Combination& at) const;
    std::optional<WholePlan> worked_out(const Combination& at);
    bool makeable(const SharedBox& box, const std::vector<std::pair<Eigen::Index, double>>& chosen) const;
    IntegerConditions conditions(const WholeLinear& linear, const Eigen::VectorXd& slack, bool inside) const;

    const Car& car_;
    const Measured& measured_;
    HeldCar& held_;
    Movables movables_;
    std::vector<Wanted> wanted_;
    std::optional<double> within_minutes_;
    std::vector<ValueId> ids_;
    Eigen::VectorXd was_;  // of the model, of what is wanted
    double rocked_mm_ = 0.0;
    std::map<Combination, std::optional<WholePlan>> known_;
    using OfBox = std::pair<std::string, std::vector<std::pair<Eigen::Index, double>>>;
    mutable std::map<OfBox, bool> makeable_;
    std::uint64_t states_ = 0;
};

}  // namespace shimwise
