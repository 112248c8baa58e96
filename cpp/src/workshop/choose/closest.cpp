#include "workshop/choose/closest.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "workshop/choose/real_best.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double soft_root = 30.0;  // of a scale by which a limit that cannot be met is missed
constexpr double same_miss = 1e-9;
constexpr std::size_t always_tried = 5;  // of a list: they tell how far the linear model is off

class Search {
public:
    Search(WholeProblem& problem, const std::vector<AllowedValues>& lists, const SearchEffort& effort)
        : problem_(problem),
          lists_(lists),
          effort_(effort),
          slack_(VectorXd::Zero(static_cast<Index>(problem.wanted().size()))) {}

    std::optional<Closest> run(const std::optional<Combination>& from) {
        if (!(from && offer(*from)) && !start()) return std::nullopt;
        const std::uint64_t before = problem_.states();
        std::size_t count = effort_.listed;
        for (int i = 0; i < effort_.linearisations; ++i) {
            const Combination at = best_->at;
            const bool reached = list_about(at, count);
            while (!others_.empty() && spent(before) < effort_.states) {
                const Combination other = others_.back();
                others_.pop_back();
                list_about(other, effort_.listed);
            }
            if (spent(before) >= effort_.states) break;
            if (best_->at != at) continue;
            done_ = reached;
            if (reached || count >= effort_.most_listed) break;
            count *= 4;
        }
        Closest found{*best_, linear_, {}};
        found.proof.combinations = problem_.combinations();
        found.proof.listed = listed_.size();
        found.proof.states = problem_.states() - before;
        found.proof.model_error = error_;
        found.proof.proven = done_ && linear_ && linear_->about == best_->at;
        const double root = std::max(0.0, std::sqrt(bound_) - error_);  // of the car, not of its linear model
        found.proof.bound = found.proof.proven ? bound_ : root * root;
        return found;
    }

private:
    std::uint64_t spent(std::uint64_t before) const { return problem_.states() - before; }

    /// The car as it stands, or with each list's value nearest to that; where it cannot stand so, anything near that
    /// can.
    bool start() {
        VectorXd x = problem_.steps(problem_.present());
        for (Index m = 0; m < x.size(); ++m) {
            const AllowedValues& list = lists_[static_cast<std::size_t>(m)];
            x(m) = *std::min_element(list.begin(), list.end(),
                                     [&](double a, double b) { return std::fabs(a - x(m)) < std::fabs(b - x(m)); });
        }
        if (offer(problem_.combination(x))) return true;
        for (Index m = 0; m < x.size(); ++m) {
            const AllowedValues& list = lists_[static_cast<std::size_t>(m)];
            for (const double other : {list.front(), list[list.size() / 2], list.back()}) {
                VectorXd y = x;
                y(m) = other;
                if (offer(problem_.combination(y))) return true;
            }
        }
        return false;
    }

    const WholePlan* offer(const Combination& at) {
        const WholePlan* plan = problem_.plan(at);
        if (plan && (!best_ || better(*plan, *best_))) best_ = *plan;
        return plan;
    }

    bool better(const WholePlan& plan, const WholePlan& than) const {
        if (effort_.inside && plan.within != than.within) return plan.within;
        return nearer(plan, than);
    }

    double linear_cost(const WholeLinear& linear, const Combination& at) const {
        return (linear.A * problem_.steps(at) - linear.b).squaredNorm();
    }

    /// Lists the best plans of the linear model about one and tries them on the nonlinear car. Whether the list reached
    /// past all that could be better.
    bool list_about(const Combination& about, std::size_t count) {
        const WholePlan* from = problem_.plan(about);
        seen_contacts_.insert(from->contacts);
        WholeLinear linear = problem_.linear_about(about, slack_, effort_.inside);
        if (about == best_->at) {
            linear_ = linear;
            error_ = 0.0;  // of this linear model
            slack_.setZero();
        }
        if (linear.A.cols() == 0) return true;
        IntegerSearch found =
            integer_least_squares(linear.A, linear.b, lists_, count, effort_.nodes, linear.conditions);
        const bool soft = found.best.empty() && !effort_.inside;
        if (soft) {
            soften(linear, *from);
            found = integer_least_squares(linear.A, linear.b, lists_, count, effort_.nodes, linear.conditions);
        }
        if (about == best_->at) bound_ = soft ? 0.0 : found.bound;  // of the model that is told alone
        bool past = found.proven && found.best.size() < count;
        for (std::size_t i = 0; i < found.best.size(); ++i) {
            const IntegerSolution& one = found.best[i];
            const double reach = std::sqrt(best_->cost) + 2.0 * error_;
            if (i >= always_tried && best_->misses <= same_miss && one.cost > reach * reach) {
                past = found.proven;
                break;
            }
            try_listed(linear, one);
        }
        if (!found.proven)  // a search that was ended is no worse than plain rounding
            offer(problem_.combination(real_best(linear.A, linear.b, lists_).x));
        return past && !soft;
    }

    void try_listed(const WholeLinear& linear, const IntegerSolution& one) {
        const Combination at = problem_.combination(one.x);
        listed_.insert(at);
        const WholePlan* plan = offer(at);
        if (!plan) return;
        if (seen_contacts_.insert(plan->contacts).second) {
            others_.push_back(at);
            return;
        }
        if (plan->contacts != problem_.plan(linear.about)->contacts) return;
        error_ = std::max(error_, std::fabs(std::sqrt(plan->cost) - std::sqrt(linear_cost(linear, at))));
        const VectorXd off = plan->then - linear.then_0 - linear.effect * one.x;
        slack_ = slack_.cwiseMax(off.cwiseAbs());
    }

    /// Limits that the plan misses are aimed at instead of demanded; those that it keeps stay limits.
    void soften(WholeLinear& linear, const WholePlan& from) const {
        const std::vector<Wanted>& wanted = problem_.wanted();
        const Index rows = linear.A.rows();
        std::vector<std::pair<Index, double>> aims;
        Index condition = 0;
        for (std::size_t w = 0; w < wanted.size(); ++w) {
            const Wanted& one = wanted[w];
            if (!std::isfinite(one.low) && !std::isfinite(one.high)) continue;
            const double then = from.then(static_cast<Index>(w));
            const bool below = !(then >= one.low), above = !(then <= one.high);
            if (below || above) {
                const bool two_ends = std::isfinite(one.low) && std::isfinite(one.high);
                aims.emplace_back(static_cast<Index>(w), two_ends ? 0.5 * (one.low + one.high)
                                                         : below  ? one.low
                                                                  : one.high);
            }
            if (below || above) {
                linear.conditions.low(condition) = -std::numeric_limits<double>::infinity();
                linear.conditions.high(condition) = std::numeric_limits<double>::infinity();
            }
            ++condition;
        }
        linear.A.conservativeResize(rows + static_cast<Index>(aims.size()), Eigen::NoChange);
        linear.b.conservativeResize(linear.A.rows());
        for (std::size_t a = 0; a < aims.size(); ++a) {
            const auto& [w, aim] = aims[a];
            const double root = soft_root / wanted[static_cast<std::size_t>(w)].scale;
            linear.A.row(rows + static_cast<Index>(a)) = root * linear.effect.row(w);
            linear.b(rows + static_cast<Index>(a)) = root * (aim - linear.then_0(w));
        }
    }

    WholeProblem& problem_;
    const std::vector<AllowedValues>& lists_;
    const SearchEffort& effort_;
    VectorXd slack_;
    std::optional<WholePlan> best_;
    std::optional<WholeLinear> linear_;
    std::set<Combination> listed_;
    std::set<ContactSet> seen_contacts_;
    std::vector<Combination> others_;
    double error_ = 0.0;
    double bound_ = 0.0;
    bool done_ = false;
};

}  // namespace

std::optional<Closest> closest(WholeProblem& problem, const std::vector<AllowedValues>& lists,
                               const SearchEffort& effort, const std::optional<Combination>& start) {
    return Search(problem, lists, effort).run(start);
}

}  // namespace shimwise
