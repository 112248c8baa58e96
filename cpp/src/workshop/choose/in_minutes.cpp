#include "workshop/choose/in_minutes.hpp"

#include <algorithm>
#include <limits>

#include "workshop/choose/real_best.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr std::uint64_t nodes_of_a_set = 2'000;
constexpr int most_rounds = 3;  // the linear model about the last round's plan

using Touched = std::vector<bool>;

class Sets {
public:
    Sets(const WholeProblem& problem, const WholeLinear& linear, double minutes)
        : problem_(problem), linear_(linear), minutes_(minutes), allowed_(problem.allowed()) {}

    Touched best() const {
        Touched set(allowed_.size());
        for (std::size_t m = 0; m < set.size(); ++m) set[m] = !problem_.movables().all[m].present;
        double cost = cost_of(set);
        for (bool better = true; better;) {
            better = step(set, cost, [](const Touched& from, std::size_t in, std::size_t) { return !from[in]; }, false);
            if (!better)
                better = step(
                    set, cost,
                    [](const Touched& from, std::size_t in, std::size_t out) { return !from[in] && from[out]; }, true);
        }
        return set;
    }

    std::vector<AllowedValues> lists(const Touched& set) const {
        std::vector<AllowedValues> lists = allowed_;
        for (std::size_t m = 0; m < set.size(); ++m)
            if (!set[m]) lists[m] = {0.0};
        return lists;
    }

private:
    /// The change to the set that brings the cost down most: one more, or one for another.
    template <class May>
    bool step(Touched& set, double& cost, const May& may, bool exchange) const {
        Touched best = set;
        double least = cost;
        for (std::size_t in = 0; in < set.size(); ++in)
            for (std::size_t out = 0; out < (exchange ? set.size() : 1); ++out) {
                if (!may(set, in, out)) continue;
                Touched other = set;
                other[in] = true;
                if (exchange) other[out] = !problem_.movables().all[out].present;
                const double of_other = cost_of(other);
                if (of_other < least * (1.0 - 1e-9)) {
                    least = of_other;
                    best = other;
                }
            }
        const bool found = least < cost;
        set = best;
        cost = least;
        return found;
    }

    double cost_of(const Touched& set) const {
        double minutes = 0.0;
        for (std::size_t m = 0; m < set.size(); ++m)
            if (set[m]) minutes += problem_.movables().all[m].minutes;
        if (!(minutes <= minutes_)) return std::numeric_limits<double>::infinity();
        const IntegerSearch found =
            integer_least_squares(linear_.A, linear_.b, lists(set), 1, nodes_of_a_set, linear_.conditions);
        return found.best.empty() ? std::numeric_limits<double>::max() : found.best.front().cost;
    }

    const WholeProblem& problem_;
    const WholeLinear& linear_;
    double minutes_;
    std::vector<AllowedValues> allowed_;
};

}  // namespace

std::optional<Closest> closest_in_minutes(WholeProblem& problem, double minutes) {
    std::optional<Closest> best;
    Combination about = problem.present();
    for (int round = 0; round < most_rounds && problem.plan(about); ++round) {
        const VectorXd slack = VectorXd::Zero(static_cast<Index>(problem.wanted().size()));
        const WholeLinear linear = problem.linear_about(about, slack);
        if (linear.A.cols() == 0) break;
        const Sets sets(problem, linear, minutes);
        auto found = closest(problem, sets.lists(sets.best()), {}, best ? std::optional(best->best.at) : std::nullopt);
        if (!found || (best && !nearer(found->best, best->best))) break;
        best = std::move(found);
        best->proof.bound = real_best(linear.A, linear.b, problem.allowed()).cost;
        about = best->best.at;
    }
    if (!best) return closest(problem, problem.allowed());
    best->proof.proven = false;
    return best;
}

}  // namespace shimwise
