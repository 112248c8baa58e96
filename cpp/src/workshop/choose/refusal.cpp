#include "workshop/choose/refusal.hpp"

#include <cmath>

#include "math/decompositions.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double ridge = 1e-6;       // keeps what nothing asks for where it is
constexpr double flat_effect = 0.5;  // of a tolerance: what a real solution may still miss

/// What a target asks of an output that reads `predicted`: the missing amount, and the scale it is judged by.
std::pair<double, double> missing(const PlannedOutput& output, double predicted) {
    const Target& target = output.target;
    const double scale = output.asked ? target.tolerance : 0.01;
    if (target.least && !(predicted >= *target.least)) return {*target.least - predicted, scale};
    if (target.most && !(predicted <= *target.most)) return {*target.most - predicted, scale};
    if (output.asked) return {*target.value - predicted, scale};
    return {0.0, scale};
}

std::string asked_words(const PlannedOutput& output) {
    const Target& target = output.target;
    std::string words = std::string(info(output.id).name);
    if (output.asked)
        words += " " + signed_words(*target.value, 3) + " deg (tolerance " + fixed_words(target.tolerance, 3) + ")";
    if (target.least) words += " of at least " + signed_words(*target.least, 3) + " deg";
    if (target.most) words += " of at most " + signed_words(*target.most, 3) + " deg";
    return words;
}

/// An unknown, the setting that a real solution asks of it, and how a sentence says that.
struct RealSetting {
    const Unknown& unknown;
    const Adjuster& adjuster;
    double amount_mm;
    double setting;
    std::string words;  // "front_left.track rod would have to stand at 7.20 turns, but "
};

RealSetting real_setting(const Car& car, const CornerProblem& problem, const Unknown& unknown, double amount_mm) {
    const Adjuster& adjuster = car[problem.id].adjusters[unknown.adjuster];
    const Thread* thread = adjuster.thread();
    const double setting = thread ? amount_mm / thread->lead_mm() : amount_mm + adjuster.stack()->drawn_with_mm;
    const std::string name = adjuster_key(problem.id, adjuster.name);
    const std::string how = thread ? " would have to stand at " + fixed_words(setting, 2) + " turns, but "
                                   : " would have to be " + fixed_words(setting, 2) + " mm thick, but ";
    return {unknown, adjuster, amount_mm, setting, name + how};
}

/// The limit, or the end of what the shims make, that lies before the setting; empty where none does.
std::string limit_before(const Car& car, const CornerProblem& problem, const RealSetting& a) {
    const AllowedSetting& first = a.unknown.settings.front();
    const AllowedSetting& last = a.unknown.settings.back();
    const double half_step_mm = 0.5 * a.unknown.step_mm;
    if (a.amount_mm >= first.amount_mm - half_step_mm && a.amount_mm <= last.amount_mm + half_step_mm) return "";
    if (a.adjuster.stack() && a.setting < 0.0)
        return adjuster_key(problem.id, a.adjuster.name) + " would have to be " + fixed_words(-a.setting, 2) +
               " mm thinner than no shim";
    if (const auto broken = broken_limit(car, problem.id, a.adjuster, a.setting))
        return a.words + broken->key + " " + broken->rule;
    if (a.adjuster.stack())
        return a.words + "the shims at hand make " + fixed_words(first.setting, 2) + " to " +
               fixed_words(last.setting, 2) + " mm";
    return a.words + "that is further than was searched";
}

/// The steps or gaps in which the setting is not found; empty where it is.
std::string gap_at(const RealSetting& a) {
    for (std::size_t i = 0; i + 1 < a.unknown.settings.size(); ++i) {
        const AllowedSetting& below = a.unknown.settings[i];
        const AllowedSetting& above = a.unknown.settings[i + 1];
        if (!(a.amount_mm > below.amount_mm && a.amount_mm < above.amount_mm)) continue;
        if (const Thread* thread = a.adjuster.thread())
            return a.words + "its steps are of " + fixed_words(thread->step_turns, 3) + " turn";
        return a.words + "the shims at hand make " + fixed_words(below.setting, 2) + " or " +
               fixed_words(above.setting, 2) + " mm";
    }
    return "";
}

/// How much more the nearest plan would have to do, and what of that no real setting does.
struct Missing {
    VectorXd more_mm;  // of each unknown, the least squares of what is missing
    VectorXd left;     // of each wanted output, over its scale
};

Missing missing_at(const CornerProblem& problem, const Candidate& nearest) {
    const auto rows = static_cast<Index>(problem.wanted.size());
    const auto count = static_cast<Index>(problem.unknowns.size());
    Setup at = problem.now;
    for (std::size_t u = 0; u < problem.unknowns.size(); ++u)
        at.amounts_mm[problem.unknowns[u].adjuster] = problem.unknowns[u].settings[nearest.at[u]].amount_mm;
    const Rates r = rates(at, problem.ground.hold(), problem.ground.held_value(), problem.ground.frame);

    MatrixXd A = MatrixXd::Zero(rows + count, count);
    VectorXd b = VectorXd::Zero(rows + count);
    for (Index w = 0; w < rows; ++w) {
        const PlannedOutput& output = problem.wanted[static_cast<std::size_t>(w)].output;
        const auto [amount, scale] = missing(output, nearest.predicted[static_cast<std::size_t>(w)]);
        const bool counts = output.asked || amount != 0.0;  // a limit that is kept asks for nothing
        b(w) = amount / scale;
        for (Index u = 0; counts && u < count; ++u)
            A(w, u) = r.per_mm[problem.unknowns[static_cast<std::size_t>(u)].adjuster][output.id.index] / scale;
    }
    for (Index u = 0; u < count; ++u) A(rows + u, u) = ridge;
    const Triangle ridged = triangle(A, b);
    const VectorXd more_mm = solve_upper(ridged.R, ridged.y);
    return {more_mm, (b - A * more_mm).head(rows)};
}

/// Why the nearest plan goes no further.
std::vector<std::string> causes_of(const Car& car, const CornerProblem& problem, const Candidate& nearest) {
    if (problem.unknowns.empty()) return {"no adjuster of this corner has that purpose"};
    const Missing missing = missing_at(problem, nearest);
    std::vector<std::string> causes;
    for (std::size_t w = 0; w < problem.wanted.size(); ++w)
        if (!(std::fabs(missing.left(static_cast<Index>(w))) <= flat_effect))
            causes.push_back("the adjusters that may be turned do not move " +
                             std::string(info(problem.wanted[w].output.id).name) + " by itself");
    if (!causes.empty()) return causes;
    std::vector<std::string> limits, gaps;
    for (std::size_t u = 0; u < problem.unknowns.size(); ++u) {
        const Unknown& unknown = problem.unknowns[u];
        const double now_mm = unknown.settings[nearest.at[u]].amount_mm;
        const RealSetting one = real_setting(car, problem, unknown, now_mm + missing.more_mm(static_cast<Index>(u)));
        const std::string limit = limit_before(car, problem, one);
        if (!limit.empty()) limits.push_back(limit);
        const std::string gap = gap_at(one);
        if (!gap.empty()) gaps.push_back(gap);
    }
    return limits.empty() ? gaps : limits;
}

std::string joined(const std::vector<std::string>& parts, const char* between) {
    std::string all;
    for (const std::string& part : parts) all += (all.empty() ? "" : between) + part;
    return all;
}

}  // namespace

std::string refusal(const Car& car, const CornerProblem& problem, const Candidate& nearest, bool stock_bound) {
    std::vector<std::string> causes = causes_of(car, problem, nearest);
    if (stock_bound)
        causes.emplace_back("the shims that the corners share do not make the better stacks at the same time");
    std::vector<std::string> not_met, reached;
    for (std::size_t w = 0; w < problem.wanted.size(); ++w) {
        const PlannedOutput& output = problem.wanted[w].output;
        if (!meets(output.target, nearest.predicted[w])) not_met.push_back(asked_words(output));
        reached.push_back(std::string(info(output.id).name) + " " + signed_words(nearest.predicted[w], 3) + " deg");
    }
    return std::string(corner_names[index(problem.id)]) + ": " + joined(not_met, " and ") +
           (not_met.size() > 1 ? " cannot be met together" : " cannot be met") +
           "; the nearest that can be reached is " + joined(reached, ", ") + ". What binds: " + joined(causes, "; ") +
           ".";
}

std::string no_setting(const Car& car, const CornerProblem& problem) {
    const std::string corner = std::string(corner_names[index(problem.id)]);
    for (const Unknown& unknown : problem.unknowns)
        if (unknown.settings.empty())
            return corner + ": nothing can be planned: " + car[problem.id].adjusters[unknown.adjuster].name +
                   " has no setting inside its limits that it can be brought to.";
    return corner + ": nothing can be planned: the corner does not assemble at any setting inside the limits.";
}

}  // namespace shimwise
