#include "workshop/choose/candidate.hpp"

#include <algorithm>
#include <cmath>

#include "workshop/choose/spread.hpp"

namespace shimwise {
namespace {

constexpr double per_squared_step = 1e-6;  // of a squared tolerance: least movement settles what is left undetermined

/// What is left of a target when the next reading may scatter by this much, at most half the tolerance.
Target less_guard(Target target, double deviation) {
    if (target.value) target.tolerance -= std::min(deviation, 0.5 * target.tolerance);
    if (target.least) *target.least += deviation;
    if (target.most) *target.most -= deviation;
    return target;
}

/// Cost, broken limits and what is met, by the outputs as they would be read. False where one is no number.
bool judge(const CornerProblem& problem, const Outputs<double>& model, Candidate& c) {
    c.within = c.guarded = true;
    for (std::size_t w = 0; w < problem.wanted.size(); ++w) {
        const WantedOutput& wanted = problem.wanted[w];
        const Target& target = wanted.output.target;
        const double predicted = model[wanted.output.id.index] + wanted.offset;
        if (!std::isfinite(predicted)) return false;
        c.predicted[w] = predicted;
        const double off = wanted.output.asked ? predicted - *target.value : 0.0;
        c.cost += wanted.price * wanted.price * off * off;
        if (target.least) c.violation += std::max(0.0, *target.least - predicted);
        if (target.most) c.violation += std::max(0.0, predicted - *target.most);
        c.within = c.within && meets(target, predicted);
        if (c.within)
            c.guarded = c.guarded && meets(less_guard(target, next_deviation(problem, wanted, c.at)), predicted);
    }
    c.guarded = c.guarded && c.within;
    return true;
}

}  // namespace

bool nearer(const Candidate& a, const Candidate& b) {
    return a.misses() != b.misses() ? b.misses() : a.cost_and_limits() < b.cost_and_limits();
}

bool less_work(const Candidate& a, const Candidate& b) {
    return a.minutes != b.minutes ? a.minutes < b.minutes : a.cost < b.cost;
}

double next_deviation(const CornerProblem& problem, const WantedOutput& wanted, const Combination& at) {
    const auto effect = [&](std::size_t u) { return wanted.per_mm(static_cast<Eigen::Index>(u)); };
    return std::sqrt(wanted.variance + set_covariance(at.size(), effect, effect, [&](std::size_t u) {
                         return problem.unknowns[u].settings[at[u]].variance_mm2;
                     }));
}

Evaluator::Evaluator(const CornerProblem& problem)
    : problem_(problem), setup_(problem.now), hold_(problem.ground.hold()) {}

std::optional<Candidate> Evaluator::operator()(const Combination& at) {
    ++evaluated_;
    Candidate c = apply(at);
    if (!lengths_allowed(at)) return std::nullopt;
    const auto model = solved();
    if (!model || !judge(problem_, *model, c)) return std::nullopt;
    return c;
}

/// The corner set like that, and what setting it costs.
Candidate Evaluator::apply(const Combination& at) {
    Candidate c;
    c.at = at;
    for (std::size_t u = 0; u < at.size(); ++u) {
        const Unknown& unknown = problem_.unknowns[u];
        const AllowedSetting& setting = unknown.settings[at[u]];
        setup_.amounts_mm[unknown.adjuster] = setting.amount_mm;
        c.cost += per_squared_step * setting.steps * setting.steps;
        c.minutes += setting.minutes;
    }
    return c;
}

bool Evaluator::lengths_allowed(const Combination& at) const {
    for (const SharedLength& shared : problem_.shared_lengths) {
        double length_mm = shared.others_mm;
        for (const std::size_t u : shared.unknowns) length_mm += problem_.unknowns[u].settings[at[u]].amount_mm;
        if (!(length_mm >= shared.least_mm - 1e-9 && length_mm <= shared.most_mm + 1e-9)) return false;
    }
    return true;
}

/// Outputs of the corner as it is set, nothing where it does not assemble: from the position of the one before, or
/// anew.
std::optional<Outputs<double>> Evaluator::solved() {
    const Linkage<double> l = linkage(setup_.geometry, setup_.parts());
    const Position<double> found = position(l, hold_, problem_.ground.held_value(), half_tan_);
    if (found.met) {
        const Strut<double> s = strut(l, found.pose);
        if (!(s.room > 0.0)) return std::nullopt;
        half_tan_ = found.half_tan;
        return outputs(l, found.pose, s, problem_.ground.frame);
    }
    const Solved solved = solve(l, hold_, problem_.ground.held_value());
    if (solved.status != Status::ok) return std::nullopt;
    return outputs(l, solved.pose, solved.strut, problem_.ground.frame);
}

}  // namespace shimwise
