#include "workshop/choose/whole_problem.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "shimwise/error.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double per_squared_step = 1e-6;  // of a squared tolerance: least movement settles what is left undetermined
constexpr double root_per_squared_step = 1e-3;
constexpr double length_rounding_mm = 1e-9;
constexpr double same_setting = 1e-9;    // turns or mm
constexpr double row_rounding = 1e-9;    // of a scale
constexpr double more_rocking_mm = 1.0;  // than as it stands: on solid struts no height shows a lifted wheel
constexpr double curved_mm = 0.2;        // by which the linear model may be off

std::size_t place(Index i) { return static_cast<std::size_t>(i); }

VectorXd values_of(const RestValues<double>& values, const std::vector<ValueId>& ids) {
    VectorXd of(static_cast<Index>(ids.size()));
    for (std::size_t i = 0; i < ids.size(); ++i) of(static_cast<Index>(i)) = value(values, ids[i]);
    return of;
}

/// From no rocking to what the car has, and a little beyond both.
std::pair<double, double> rocking_ends(double rocked_mm) {
    return {std::min(rocked_mm, 0.0) - more_rocking_mm, std::max(rocked_mm, 0.0) + more_rocking_mm};
}

bool rocks_more(double rocking_mm, double rocked_mm) {
    const auto [least, most] = rocking_ends(rocked_mm);
    return rocking_mm < least - curved_mm || rocking_mm > most + curved_mm;
}

}  // namespace

bool nearer(const WholePlan& a, const WholePlan& b) {
    return a.misses != b.misses ? a.misses < b.misses : a.cost < b.cost;
}

WholeProblem::WholeProblem(const Car& car, const Measured& measured, HeldCar& held, Movables movables,
                           std::vector<Wanted> wanted, std::optional<double> within_minutes)
    : car_(car),
      measured_(measured),
      held_(held),
      movables_(std::move(movables)),
      wanted_(std::move(wanted)),
      within_minutes_(within_minutes) {
    for (const Wanted& one : wanted_) ids_.push_back(one.id);
    Amounts as_it_stands;
    for (std::size_t c = 0; c < corner_count; ++c) as_it_stands[c] = car.corners[c].amounts_mm();
    const HeldCar::State state = *held_.state(as_it_stands);
    was_ = values_of(state.values, ids_);
    rocked_mm_ = state.rocking_mm;
    ++states_;
}

double WholeProblem::combinations() const {
    double count = 1.0;
    for (const Movable& one : movables_.all) count *= static_cast<double>(one.steps.size());
    return count;
}

Combination WholeProblem::present() const {
    Combination at;
    for (const Movable& one : movables_.all) {
        const auto nearest = std::min_element(one.steps.begin(), one.steps.end(),
                                              [](double a, double b) { return std::fabs(a) < std::fabs(b); });
        at.push_back(one.present.value_or(static_cast<std::size_t>(nearest - one.steps.begin())));
    }
    return at;
}

Combination WholeProblem::with(const std::vector<PlannedSetting>& settings) const {
    Combination at = present();
    for (std::size_t m = 0; m < at.size(); ++m)
        for (const PlannedSetting& setting : settings) {
            const Movable& one = movables_.all[m];
            if (setting.corner != one.places[0].corner || setting.adjuster != one.places[0].adjuster) continue;
            for (std::size_t i = 0; i < one.steps.size(); ++i)
                if (std::fabs(one.settings[0][i].setting - setting.after) <= same_setting) at[m] = i;
        }
    return at;
}

VectorXd WholeProblem::steps(const Combination& at) const {
    VectorXd x(static_cast<Index>(at.size()));
    for (std::size_t m = 0; m < at.size(); ++m) x(static_cast<Index>(m)) = movables_.all[m].steps[at[m]];
    return x;
}

Combination WholeProblem::combination(const VectorXd& x) const {
    Combination at;
    for (std::size_t m = 0; m < movables_.all.size(); ++m) {
        const std::vector<double>& steps = movables_.all[m].steps;
        const double wanted = x(static_cast<Index>(m));
        const auto nearest = std::min_element(steps.begin(), steps.end(), [wanted](double a, double b) {
            return std::fabs(a - wanted) < std::fabs(b - wanted);
        });
        at.push_back(static_cast<std::size_t>(nearest - steps.begin()));
    }
    return at;
}

std::vector<AllowedValues> WholeProblem::allowed() const {
    std::vector<AllowedValues> lists;
    for (const Movable& one : movables_.all) lists.push_back(one.steps);
    return lists;
}

VectorXd WholeProblem::minutes() const {
    VectorXd minutes(static_cast<Index>(movables_.all.size()));
    for (std::size_t m = 0; m < movables_.all.size(); ++m) minutes(static_cast<Index>(m)) = movables_.all[m].minutes;
    return minutes;
}

const WholePlan* WholeProblem::plan(const Combination& at) {
    const auto [found, is_new] = known_.try_emplace(at);
    if (is_new) found->second = worked_out(at);
    return found->second ? &*found->second : nullptr;
}

std::vector<const WholePlan*> WholeProblem::nearest_known(std::size_t count) const {
    std::vector<const WholePlan*> known;
    for (const auto& [at, plan] : known_)
        if (plan) known.push_back(&*plan);
    std::stable_sort(known.begin(), known.end(), [](const WholePlan* a, const WholePlan* b) { return nearer(*a, *b); });
    if (known.size() > count) known.resize(count);
    return known;
}

Amounts WholeProblem::amounts(const Combination& at) const {
    Amounts amounts_mm;
    for (std::size_t c = 0; c < corner_count; ++c) amounts_mm[c] = car_.corners[c].amounts_mm();
    for (std::size_t m = 0; m < at.size(); ++m) {
        const Movable& one = movables_.all[m];
        for (std::size_t p = 0; p < one.places.size(); ++p)
            amounts_mm[index(one.places[p].corner)][one.places[p].adjuster] = one.settings[p][at[m]].amount_mm;
    }
    return amounts_mm;
}

std::optional<std::vector<PackAt>> WholeProblem::packs(const Combination& at) const {
    std::vector<TotalAt> totals;
    for (std::size_t m = 0; m < at.size(); ++m) {
        const Movable& one = movables_.all[m];
        for (std::size_t p = 0; p < one.places.size(); ++p)
            if (one.settings[p][at[m]].shims) totals.push_back({one.places[p], one.settings[p][at[m]].setting});
    }
    auto made = packs_together(car_, totals);
    if (!made) return std::nullopt;
    std::vector<PackAt> packs;
    for (std::size_t i = 0; i < totals.size(); ++i) packs.push_back({totals[i].stack, std::move((*made)[i])});
    return packs;
}

bool WholeProblem::lengths_allowed(const Combination& at) const {
    for (const SharedLength& shared : movables_.lengths) {
        double sum_mm = 0.0;
        for (const auto& [m, p] : shared.members) sum_mm += movables_.all[m].settings[p][at[m]].amount_mm;
        if (!(sum_mm >= shared.least_mm - length_rounding_mm && sum_mm <= shared.most_mm + length_rounding_mm))
            return false;
    }
    return true;
}

std::optional<WholePlan> WholeProblem::worked_out(const Combination& at) {
    if (!lengths_allowed(at)) return std::nullopt;
    auto packs_at = packs(at);
    if (!packs_at) return std::nullopt;
    ++states_;
    const auto state = held_.state(amounts(at));
    if (!state || rocks_more(state->rocking_mm, rocked_mm_)) return std::nullopt;
    WholePlan plan;
    plan.at = at;
    plan.packs = std::move(*packs_at);
    plan.contacts = state->contacts;
    plan.then = values_of(state->values, ids_) - was_;
    for (std::size_t w = 0; w < wanted_.size(); ++w) plan.then(static_cast<Index>(w)) += wanted_[w].now;
    if (!plan.then.allFinite()) return std::nullopt;
    plan.cost = misfit(wanted_, plan.then) + per_squared_step * steps(at).squaredNorm();
    plan.misses = broken(wanted_, plan.then);
    plan.within = meets_targets(wanted_, plan.then);
    for (std::size_t m = 0; m < at.size(); ++m)
        if (movables_.all[m].present != at[m]) plan.minutes += movables_.all[m].minutes;
    for (std::size_t m = 0; m < at.size(); ++m)  // the same total of other shims, so that another stack gets its own
        if (movables_.all[m].present == at[m])
            for (const PackAt& pack : plan.packs)
                for (const AdjusterPlace& one : movables_.all[m].places)
                    if (one.corner == pack.stack.corner && one.adjuster == pack.stack.adjuster &&
                        pack.shims.moved() > 0)
                        plan.minutes += car_[one.corner].adjusters[one.adjuster].minutes;
    if (within_minutes_ && !(plan.minutes <= *within_minutes_)) return std::nullopt;
    return plan;
}

WholeLinear WholeProblem::linear_about(const Combination& about, const VectorXd& slack, bool inside) {
    WholeLinear linear;
    linear.about = about;
    const auto state = held_.state(amounts(about));
    ++states_;
    const MatrixXd per_mm = held_.per_mm(amounts(about), *state, ids_, movables_.places());
    const auto rows = static_cast<Index>(wanted_.size()), columns = static_cast<Index>(movables_.all.size());
    linear.effect = MatrixXd::Zero(rows, columns);
    linear.of_each = per_mm;
    Index of = 0;
    for (Index m = 0; m < columns; ++m)
        for (const double step_mm : movables_.all[place(m)].step_mm) {
            linear.of_each.col(of) *= step_mm;
            linear.effect.col(m) += linear.of_each.col(of++);
        }
    linear.then_0 = plan(about)->then - linear.effect * steps(about);
    linear.A = MatrixXd::Zero(rows + columns, columns);
    linear.b = VectorXd::Zero(rows + columns);
    for (Index w = 0; w < rows; ++w) {
        const Wanted& one = wanted_[place(w)];
        if (!one.in_cost()) continue;
        linear.A.row(w) = linear.effect.row(w) / one.aim_tolerance;
        linear.b(w) = (*one.aim - linear.then_0(w)) / one.aim_tolerance;
    }
    for (Index m = 0; m < columns; ++m) linear.A(rows + m, m) = root_per_squared_step;
    if (const auto per_mm_of_each = held_.rocking_per_mm(amounts(about), movables_.places())) {
        linear.rocking = Eigen::RowVectorXd::Zero(columns);
        of = 0;
        for (Index m = 0; m < columns; ++m)
            for (const double step_mm : movables_.all[place(m)].step_mm)
                (*linear.rocking)(m) += step_mm * (*per_mm_of_each)(of++);
        linear.rocking_0 = state->rocking_mm - linear.rocking->dot(steps(about));
    }
    linear.conditions = conditions(linear, slack, inside);
    return linear;
}

/// Whether the box makes these totals at the same time, with the shims of all other stacks that draw on it.
bool WholeProblem::makeable(const SharedBox& box, const std::vector<std::pair<Index, double>>& chosen) const {
    const auto [known, is_new] = makeable_.try_emplace({box.name, chosen});
    if (!is_new) return known->second;
    std::vector<double> pool_mm = car_.boxes_mm.at(box.name);
    std::vector<std::vector<double>> fitted_mm;
    std::vector<double> totals_mm;
    std::vector<const StackChoice*> packs;
    for (const std::size_t m : box.members) {
        const auto of = std::find_if(chosen.begin(), chosen.end(),
                                     [m](const auto& one) { return one.first == static_cast<Index>(m); });
        const Movable& one = movables_.all[m];
        for (std::size_t p = 0; p < one.places.size(); ++p) {
            const Stack* stack = car_[one.places[p].corner].adjusters[one.places[p].adjuster].stack();
            if (!stack || stack->box != box.name) continue;
            if (of == chosen.end()) {
                pool_mm.insert(pool_mm.end(), stack->fitted_mm.begin(), stack->fitted_mm.end());
                continue;
            }
            const auto at = std::lower_bound(one.steps.begin(), one.steps.end(), of->second) - one.steps.begin();
            const AllowedSetting& setting = one.settings[p][static_cast<std::size_t>(at)];
            fitted_mm.push_back(stack->fitted_mm);
            totals_mm.push_back(setting.setting);
            packs.push_back(&*setting.shims);
        }
    }
    // Where each may have the pack that is least change for it alone, nothing needs to be searched.
    std::vector<double> left_mm = pool_mm;
    for (const std::vector<double>& fitted : fitted_mm) left_mm.insert(left_mm.end(), fitted.begin(), fitted.end());
    const bool each_its_own = std::all_of(packs.begin(), packs.end(),
                                          [&](const StackChoice* pack) { return !take(left_mm, pack->shims_mm); });
    return known->second = each_its_own || stack_together(fitted_mm, pool_mm, totals_mm).has_value();
}

IntegerConditions WholeProblem::conditions(const WholeLinear& linear, const VectorXd& slack, bool inside) const {
    std::vector<Wanted> limits = wanted_;
    if (inside)
        for (Wanted& one : limits)
            if (one.in_cost()) one = as_limit(std::move(one));
    std::vector<Index> limited;
    for (std::size_t w = 0; w < wanted_.size(); ++w)
        if (std::isfinite(limits[w].low) || std::isfinite(limits[w].high)) limited.push_back(static_cast<Index>(w));
    const auto first_length = static_cast<Index>(limited.size()) + (linear.rocking ? 1 : 0);
    const auto count = first_length + static_cast<Index>(movables_.lengths.size());
    IntegerConditions c;
    c.rows = MatrixXd::Zero(count, linear.effect.cols());
    c.low.resize(count);
    c.high.resize(count);
    for (Index i = 0; i < static_cast<Index>(limited.size()); ++i) {
        const Index w = limited[place(i)];
        const Wanted& one = limits[place(w)];
        const double widened = slack(w) + row_rounding * one.scale;
        c.rows.row(i) = linear.effect.row(w);
        c.low(i) = one.low - linear.then_0(w) - widened;
        c.high(i) = one.high - linear.then_0(w) + widened;
    }
    if (linear.rocking) {
        const auto [least_mm, most_mm] = rocking_ends(rocked_mm_);
        c.rows.row(first_length - 1) = *linear.rocking;
        c.low(first_length - 1) = least_mm - linear.rocking_0;
        c.high(first_length - 1) = most_mm - linear.rocking_0;
    }
    for (std::size_t l = 0; l < movables_.lengths.size(); ++l) {
        const SharedLength& shared = movables_.lengths[l];
        const Index i = first_length + static_cast<Index>(l);
        double present_mm = 0.0;
        for (const auto& [m, p] : shared.members) {
            const AdjusterPlace& at = movables_.all[m].places[p];
            present_mm += car_[at.corner].adjusters[at.adjuster].amount_mm();
            c.rows(i, static_cast<Index>(m)) += movables_.all[m].step_mm[p];
        }
        c.low(i) = shared.least_mm - present_mm - length_rounding_mm;
        c.high(i) = shared.most_mm - present_mm + length_rounding_mm;
    }
    for (const SharedBox& box : movables_.boxes) {
        TogetherGroup group;
        for (const std::size_t m : box.members) group.unknowns.push_back(static_cast<Index>(m));
        group.work = box.members.size() * box.members.size();  // milliseconds where a dozen packs share
        group.takes = [this, &box](const std::vector<std::pair<Index, double>>& chosen) {
            return makeable(box, chosen);
        };
        c.together.push_back(std::move(group));
    }
    return c;
}

}  // namespace shimwise
