#include "shimwise/workshop/choose/chance.hpp"

#include <algorithm>
#include <cmath>

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double accuracy = 1e-3;  // of a chance that is shown with two decimals
constexpr double likelier = 1e-3;
constexpr double worth_telling = 0.005;  // of a chance

/// By how much the next reading alone scatters the cost.
double scatter(const NextReading& next) {
    double sum = 0.0;
    for (Index i = 0; i < next.predicted.size(); ++i)
        sum += next.covariance(i, i) / (next.tolerance(i) * next.tolerance(i));  // a limit's is infinite
    return sum;
}

}  // namespace

double near_enough(double best) { return std::max(best - 0.05, 0.9 * best); }

BoxProbability chance(const NextReading& next) {
    return probability_in_box(next.predicted, next.covariance, next.lower, next.upper, accuracy);
}

Chances chances(const Plan& plan) {
    Chances found{chance(plan.nothing.next), chance(plan.closest.next), std::nullopt};
    if (plan.least_work) found.least_work = chance(plan.least_work->next);
    return found;
}

namespace {

/// Whether a target of the model's own, which no chance covers, is missed by one choice and met by the other.
bool keeps_more_of_the_model(const Choice& nothing, const Choice& other) {
    for (const PlannedValue& was : nothing.values)
        for (const PlannedValue& is : other.values)
            if (is.id == was.id && !is.measured && !was.within && is.within &&
                (is.asks == Asks::asked || is.asks == Asks::limit))
                return true;
    return false;
}

}  // namespace

Which default_choice(const Plan& plan, const Chances& chances) {
    if (!plan.closest.touches) return Which::nothing;
    const bool inside_by_work = plan.least_work && plan.least_work->within && !plan.closest.within;
    const Choice& best = inside_by_work ? *plan.least_work : plan.closest;
    const double closest = chances.closest.value;
    const double least_work = chances.least_work ? chances.least_work->value : 0.0;
    const bool no_likelier = chances.nothing.value + likelier >= std::max(closest, least_work);
    const bool no_nearer = plan.nothing.cost - plan.closest.cost <= scatter(plan.nothing.next);
    if (no_likelier && no_nearer && !keeps_more_of_the_model(plan.nothing, best)) return Which::nothing;
    const bool saves = plan.least_work && plan.least_work->minutes < plan.closest.minutes;
    return (saves || inside_by_work) && least_work >= near_enough(closest) ? Which::least_work : Which::closest;
}

Which default_choice(const Plan& plan) { return default_choice(plan, chances(plan)); }

std::optional<ReadAgain> worth_reading_again(const Plan& plan, Which which) {
    const Choice* choice = plan.choice(which);
    if (!choice || choice->next.ids.empty()) return std::nullopt;
    const NextReading& next = choice->next;
    const Measured& measured = plan.measured;
    std::optional<ReadAgain> best;
    for (std::size_t q = 0; q < measured.quantities.size(); ++q) {
        const auto at = static_cast<Index>(q);
        const double variance = measured.repeat_covariance(at, at);
        if (measured.quantities[q].derived || !(variance > 0.0)) continue;
        VectorXd shared(next.predicted.size());
        for (std::size_t i = 0; i < next.ids.size(); ++i)
            shared(static_cast<Index>(i)) =
                measured.repeat_covariance(static_cast<Index>(*measured.find(next.ids[i])), at);
        if (!(shared.norm() > 0.0)) continue;
        // Two readings of it in place of one: what comes anew with the first is known half as well again.
        const Eigen::MatrixXd covariance = next.covariance - shared * shared.transpose() / (2.0 * variance);
        const double then = probability_in_box(next.predicted, covariance, next.lower, next.upper, accuracy).value;
        if (!best || then > best->chance) best = ReadAgain{measured.quantities[q].id, then};
    }
    if (best && !(best->chance > chance(next).value + worth_telling)) return std::nullopt;
    return best;
}

}  // namespace shimwise
