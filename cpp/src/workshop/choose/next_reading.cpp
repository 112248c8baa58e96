#include "workshop/choose/next_reading.hpp"

#include <algorithm>
#include <limits>

#include "workshop/choose/spread.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double infinite = std::numeric_limits<double>::infinity();

double missed_mm2(const Adjuster& adjuster, const PlannedSetting& planned) {
    if (!planned.touched) return 0.0;
    return setting_variance_mm2(adjuster, adjuster.stack() ? planned.shims.moved() : 1);
}

/// One output of the next reading: where it stands in Measured, at the corner, and among that corner's wanted ones.
struct Read {
    std::size_t measured, corner, wanted;
};

}  // namespace

NextReading next_reading(const Measured& measured, const CornerProblems& problems, const Car& car,
                         const Choice& choice) {
    std::vector<Read> reads;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (std::size_t w = 0; w < problems[c].wanted.size(); ++w)
            if (problems[c].wanted[w].output.measured)
                reads.push_back({*measured.find(problems[c].wanted[w].output.id), c, w});
    /// What turning and changing at a corner adds to the covariance of two of its outputs.
    const auto set_at = [&](std::size_t c, std::size_t one, std::size_t other) {
        const std::vector<PlannedSetting>& settings = choice.corners[c].settings;
        const auto effect = [&](std::size_t wanted) {
            return
                [&per_mm = problems[c].wanted[wanted].per_mm](std::size_t u) { return per_mm(static_cast<Index>(u)); };
        };
        return set_covariance(settings.size(), effect(one), effect(other), [&](std::size_t u) {
            return missed_mm2(car[problems[c].id].adjusters[settings[u].adjuster], settings[u]);
        });
    };
    const auto n = static_cast<Index>(reads.size());
    NextReading next;
    next.predicted = next.off = VectorXd::Zero(n);
    next.lower = VectorXd::Constant(n, -infinite);
    next.upper = next.tolerance = VectorXd::Constant(n, infinite);
    next.covariance = Eigen::MatrixXd::Zero(n, n);
    for (Index i = 0; i < n; ++i) {
        const Read& a = reads[static_cast<std::size_t>(i)];
        const PlannedOutput& output = choice.corners[a.corner].outputs[a.wanted];
        next.ids.push_back(output.id);
        next.predicted(i) = output.predicted;
        const Target& target = output.target;
        if (target.value) {
            next.off(i) = output.predicted - *target.value;
            next.tolerance(i) = target.tolerance;
            next.lower(i) = *target.value - target.tolerance;
            next.upper(i) = *target.value + target.tolerance;
        }
        if (target.least) next.lower(i) = std::max(next.lower(i), *target.least);
        if (target.most) next.upper(i) = std::min(next.upper(i), *target.most);
        for (Index j = 0; j < n; ++j) {
            const Read& b = reads[static_cast<std::size_t>(j)];
            next.covariance(i, j) = anew_twice(measured, a.measured, b.measured);
            if (a.corner == b.corner) next.covariance(i, j) += set_at(a.corner, a.wanted, b.wanted);
        }
    }
    return next;
}

}  // namespace shimwise
