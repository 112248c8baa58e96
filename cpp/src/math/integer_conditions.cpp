#include <algorithm>
#include <cmath>
#include <limits>

#include "math/allowed.hpp"
#include "math/conditioned_search.hpp"
#include "math/conditions.hpp"
#include "math/good_choices.hpp"
#include "math/search_order.hpp"
#include "shimwise/math/integer_least_squares.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// What a small problem is solved in at once.
constexpr std::uint64_t first_nodes = 2000;
// The first radius in units of 1 + the real optimum, and the share of the work that each may take at first.
constexpr double first_radius = 0.25;
constexpr std::uint64_t first_share = 32;
constexpr std::uint64_t good_choices_share = 8;
constexpr double later_gap = 0.4;     // soft rows weigh otherwise the second time: another way through the same choices
constexpr double least_gap = 1e-9;    // between radius and bound, of their size
constexpr double certain_gap = 1e-6;  // of rows' windows, in their units

/// The searches of one problem, one after the other; what one has proven the next need not.
class Searches {
public:
    Searches(const ConditionedProblem& problem, Groups& groups, Cheapest& cheapest, Work& work,
             std::uint64_t node_limit)
        : p_(problem),
          groups_(groups),
          cheapest_(cheapest),
          work_(work),
          node_limit_(node_limit),
          dearest_((largest_outputs(p_.A, p_.allowed) + p_.b.cwiseAbs()).squaredNorm()) {}

    void run() {
        if (search(cheapest_.limit(), 1.0, first_nodes)) return;
        proven_ = cheapest_.best().empty() && out_of_reach(p_.rows, p_.allowed, certain_gap);
        if (proven_) return;
        real_ = real_bound(p_);
        bound_ = std::max(bound_, real_);
        std::uint64_t share = node_limit_ / first_share;
        if (grow_radius(share, share, 1.0)) return;
        give(node_limit_ / good_choices_share);
        good_choices(p_, real_, groups_, cheapest_, work_);
        std::uint32_t round = 0;
        do {
            share *= 2;
            give(share);
            improve_best(p_, real_, ++round, groups_, cheapest_, work_);
        } while (!grow_radius(share, node_limit_, later_gap));
    }

    bool proven() const { return proven_; }
    double bound() const { return bound_; }

private:
    void give(std::uint64_t share) {
        const std::uint64_t left = node_limit_ - std::min(work_.nodes, node_limit_);
        work_.limit = work_.nodes + std::min(share, left);
    }

    double gap(double radius) const {
        const double unit = 1.0 + real_;
        return radius < std::numeric_limits<double>::infinity() ? std::max(radius - real_, least_gap * unit) : unit;
    }

    /// Of what costs less than `limit`; true: that settles the problem.
    bool search(double limit, double soft_gap, std::uint64_t share) {
        give(share);
        const double whole = cheapest_.limit();
        cheapest_.set_limit(limit);
        const SearchEnd end = search_conditioned(p_, soft_rows(p_, soft_gap), groups_, cheapest_, work_);
        const double settled = cheapest_.radius();
        cheapest_.set_limit(whole);
        // Everything below `settled` is known where the search was finished, everything below the bound where not.
        bound_ = std::max(bound_, end.finished ? settled : std::min(end.bound, settled));
        proven_ = end.finished && !(settled < cheapest_.radius());
        finished_ = end.finished;
        return proven_ || work_.nodes >= node_limit_;
    }

    /// A radius that is a little too small ends at once, one that holds a choice finds it soon, one that is far too
    /// large leads the search astray. Each takes at most its share; the radius of what is known, below which only the
    /// proof is left, `most`. true: that settles the problem.
    bool grow_radius(std::uint64_t share, std::uint64_t most, double of_gap) {
        int unfinished = 0;
        for (double times = first_radius; unfinished < 2; times *= 2.0) {
            const double grown = real_ + times * (1.0 + real_);
            const bool last = grown >= cheapest_.radius() || grown > dearest_;
            const double limit = last ? cheapest_.radius() : grown;
            if (limit <= bound_ && !last) continue;
            if (search(limit, of_gap * gap(limit), last ? most : share)) return true;
            if (last) return false;
            if (!finished_) ++unfinished;
        }
        return false;
    }

    const ConditionedProblem& p_;
    Groups& groups_;
    Cheapest& cheapest_;
    Work& work_;
    std::uint64_t node_limit_;
    double dearest_;      // that a choice can be
    double real_ = 0.0;   // bound by the real optimum
    double bound_ = 0.0;  // nothing that is cheaper is unknown
    bool proven_ = false, finished_ = false;
};

}  // namespace

IntegerSearch integer_least_squares(const MatrixXd& A, const VectorXd& b, const std::vector<AllowedValues>& allowed,
                                    std::size_t count, std::uint64_t node_limit, const IntegerConditions& conditions) {
    require_fit(A, b);
    require_allowed(allowed, A.cols());
    require(count > 0, "integer least squares: at least one solution must be asked for");
    require(!std::isnan(conditions.below), "conditions: the dearest that is wanted is not a number");
    require(std::isfinite((largest_outputs(A, allowed) + b.cwiseAbs()).squaredNorm()),
            "integer least squares: numbers are too large to be squared");
    require_independent(A);
    Work work;
    Groups groups(conditions.together, A.cols(), work);
    ConditionedProblem problem{A, b, allowed, condition_rows(conditions, allowed), {}, VectorXd::Zero(A.cols())};
    for (Index i = 0; i < A.cols(); ++i) problem.unknowns.push_back(i);

    Cheapest cheapest(count, conditions.below);
    Searches searches(problem, groups, cheapest, work, node_limit);
    const bool some = tighten(problem.rows, groups, problem.allowed);
    if (some) searches.run();
    IntegerSearch result{cheapest.best(), work.nodes, !some || searches.proven(), searches.bound()};
    if (result.proven) result.bound = std::max(cheapest.limit(), 0.0);
    if (!result.best.empty())
        result.bound = result.proven ? result.best.front().cost : std::min(result.bound, result.best.front().cost);
    return result;
}

}  // namespace shimwise
