#include "workshop/choose/next_reading.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "workshop/choose/spread.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double infinite = std::numeric_limits<double>::infinity();

/// By how many of its steps each place is missed, squared: by a hand, and by the model.
std::vector<double> missed_steps2(const WholeProblem& problem, const WholePlan& plan, double model_share) {
    std::vector<double> missed2;
    for (std::size_t m = 0; m < problem.movables().all.size(); ++m) {
        const Movable& one = problem.movables().all[m];
        const double by_model = model_share * one.steps[plan.at[m]];
        for (std::size_t p = 0; p < one.places.size(); ++p) {
            const Adjuster& adjuster = problem.car()[one.places[p].corner].adjusters[one.places[p].adjuster];
            std::size_t moved = plan.untouched || one.present == plan.at[m] ? 0 : 1;
            for (const PackAt& pack : plan.packs)
                if (pack.stack.corner == one.places[p].corner && pack.stack.adjuster == one.places[p].adjuster)
                    moved = pack.shims.moved();
            missed2.push_back(setting_variance_mm2(adjuster, moved) / (one.step_mm[p] * one.step_mm[p]) +
                              by_model * by_model);
        }
    }
    return missed2;
}

/// What every place is missed by, and the covariance of the next reading that follows from it and from the readings.
class Scatter {
public:
    Scatter(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan, double model_share)
        : problem_(problem), linear_(linear), missed2_(missed_steps2(problem, plan, model_share)) {}

    /// Of two wanted values that were read.
    double operator()(std::size_t v, std::size_t w) const {
        const Measured& measured = problem_.measured();
        double covariance =
            anew_twice(measured, *measured.find(problem_.wanted()[v].id), *measured.find(problem_.wanted()[w].id));
        for (std::size_t p = 0; p < missed2_.size(); ++p)
            covariance += missed2_[p] * linear_.of_each(static_cast<Index>(v), static_cast<Index>(p)) *
                          linear_.of_each(static_cast<Index>(w), static_cast<Index>(p));
        return covariance;
    }

private:
    const WholeProblem& problem_;
    const WholeLinear& linear_;
    std::vector<double> missed2_;
};

}  // namespace

double next_deviation(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan, double model_share,
                      std::size_t wanted) {
    if (!problem.wanted()[wanted].measured) return 0.0;
    return std::sqrt(Scatter(problem, linear, plan, model_share)(wanted, wanted));
}

NextReading next_reading(const WholeProblem& problem, const WholeLinear& linear, const WholePlan& plan,
                         double model_share) {
    std::vector<std::size_t> read;
    for (std::size_t w = 0; w < problem.wanted().size(); ++w) {
        const Wanted& one = problem.wanted()[w];
        if (!one.is_target() || !one.measured) continue;
        read.push_back(w);
    }
    const Scatter scatter(problem, linear, plan, model_share);
    const auto n = static_cast<Index>(read.size());
    NextReading next;
    next.predicted = next.off = VectorXd::Zero(n);
    next.lower = VectorXd::Constant(n, -infinite);
    next.upper = next.tolerance = VectorXd::Constant(n, infinite);
    next.covariance = Eigen::MatrixXd::Zero(n, n);
    for (Index i = 0; i < n; ++i) {
        const std::size_t w = read[static_cast<std::size_t>(i)];
        const Wanted& one = problem.wanted()[w];
        const Target& target = one.target;
        next.ids.push_back(one.id);
        next.predicted(i) = plan.then(static_cast<Index>(w));
        if (target.value) {
            next.off(i) = next.predicted(i) - *target.value;
            next.tolerance(i) = target.tolerance;
            next.lower(i) = *target.value - target.tolerance;
            next.upper(i) = *target.value + target.tolerance;
        }
        if (target.least) next.lower(i) = std::max(next.lower(i), *target.least);
        if (target.most) next.upper(i) = std::min(next.upper(i), *target.most);
        for (Index j = 0; j < n; ++j) next.covariance(i, j) = scatter(w, read[static_cast<std::size_t>(j)]);
    }
    return next;
}

}  // namespace shimwise
