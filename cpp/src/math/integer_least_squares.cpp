#include "shimwise/math/integer_least_squares.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "math/allowed.hpp"
#include "math/box_relaxation.hpp"
#include "math/decompositions.hpp"
#include "math/search_order.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// Longest list of whole numbers; a problem that needs more has nearly dependent columns.
constexpr double most_whole_numbers = 1e6;
// By which a bound without its own proof from rounding is lowered.
constexpr double bound_rounding = 1e-9;

/// Depth-first search; at `level` the unknowns above it are chosen, `level` is next, those below are still real.
class Search {
public:
    Search(const Ordered& problem, const std::vector<AllowedValues>& allowed, std::size_t count,
           std::uint64_t node_limit)
        : R_(problem.triangle.R), relax_(R_), count_(count), node_limit_(node_limit) {
        const Index n = R_.cols();
        const MatrixXd inverse = solve_upper(R_, MatrixXd::Identity(n, n));
        follows_.setZero(n, n);
        stiffness_.setZero(n, n);
        for (Index level = 0; level < n; ++level) {
            follows_.col(level).head(level) = R_(level, level) * inverse.col(level).head(level);
            for (Index i = 0; i <= level; ++i)
                stiffness_(i, level) = 1.0 / inverse.row(i).segment(i, level - i + 1).norm();
        }
        lower_.resize(n);
        upper_.resize(n);
        for (Index i = 0; i < n; ++i) {
            allowed_.push_back(allowed[static_cast<std::size_t>(problem.order[static_cast<std::size_t>(i)])]);
            lower_(i) = allowed_.back().front();
            upper_(i) = allowed_.back().back();
        }
        wanted_.setZero(n, n);
        relaxed_.setZero(n, n);
        chosen_.setZero(n);
        paid_.assign(static_cast<std::size_t>(n), 0.0);
        centred_.assign(static_cast<std::size_t>(n), false);
        wanted_.col(n - 1) = problem.triangle.y;
        relaxed_.col(n - 1) = lower_;
        noise_ = 1e-3 * bound_rounding * problem.triangle.y.norm();
        free_.setZero(n, n);
        free_.col(n - 1) = inverse * problem.triangle.y;
        paid_.back() = problem.triangle.rest;
    }

    void run() {
        const Index top = R_.cols() - 1;
        least_ = bound(top);
        choose(top);
    }

    bool finished() const { return !stopped_; }
    std::uint64_t nodes() const { return nodes_; }
    /// Of all choices, before any is made.
    double least() const { return least_; }
    /// Cheapest first; of equal ones in the order they were found. Once only.
    std::vector<IntegerSolution> take_best() {
        std::sort_heap(best_.begin(), best_.end(), cheaper);
        std::vector<IntegerSolution> best;
        for (Kept& kept : best_) best.push_back(std::move(kept.solution));
        return best;
    }

private:
    struct Kept {
        IntegerSolution solution;
        std::uint64_t node;
    };
    static bool cheaper(const Kept& a, const Kept& b) {
        return a.solution.cost != b.solution.cost ? a.solution.cost < b.solution.cost : a.node < b.node;
    }

    double radius() const {
        return best_.size() < count_ ? std::numeric_limits<double>::infinity() : best_.front().solution.cost;
    }

    /// Lower bound of the cost with the unknowns above `level` as chosen; leaves their real optimum in `relaxed_`,
    /// unless the bound is too dear already.
    double bound(Index level) {
        const Index n = level + 1;
        const double paid = paid_[static_cast<std::size_t>(level)];
        const auto free = free_.col(level);
        double beyond = 0.0;  // root of what bringing back one unknown that is outside costs, all others free
        bool inside = true;
        for (Index i = 0; i < n; ++i) {
            const double off = std::max(lower_(i) - free(i), free(i) - upper_(i));
            if (off <= 0.0) continue;
            inside = false;
            beyond = std::max(beyond, off * stiffness_(i, level));
        }
        if (inside) {
            relaxed_.col(level).head(n) = free.head(n);
            centred_[static_cast<std::size_t>(level)] = true;
            return paid;
        }
        beyond = std::max(beyond * (1.0 - bound_rounding) - noise_, 0.0);
        if (paid + beyond * beyond >= radius()) return paid + beyond * beyond;
        if (level + 1 < R_.cols()) relaxed_.col(level).head(n) = relaxed_.col(level + 1).head(n);
        const Relaxed relaxed = relax_(wanted_.col(level).head(n), lower_, upper_, relaxed_.col(level).head(n));
        centred_[static_cast<std::size_t>(level)] = relaxed.exact;
        return paid + relaxed.cost;
    }

    /// The bound with chosen_(level) chosen too.
    double bound_below(Index level) {
        ++nodes_;
        const double value = chosen_(level);
        const double miss = wanted_(level, level) - R_(level, level) * value;
        const double paid = paid_[static_cast<std::size_t>(level)] + miss * miss;
        if (level == 0) return paid;
        paid_[static_cast<std::size_t>(level - 1)] = paid;
        if (paid >= radius()) return paid;
        wanted_.col(level - 1).head(level) = wanted_.col(level).head(level) - value * R_.col(level).head(level);
        free_.col(level - 1).head(level) =
            free_.col(level).head(level) - (free_(level, level) - value) * follows_.col(level).head(level);
        return bound(level - 1);
    }

    /// Tries the values of `level` outward from its real optimum. The bound is convex in the value, so that a side ends
    /// with the first value that is too dear.
    void choose(Index level) {
        const AllowedValues& values = allowed_[static_cast<std::size_t>(level)];
        const double centre = relaxed_(level, level);
        const bool centred = centred_[static_cast<std::size_t>(level)];
        auto above = std::lower_bound(values.begin(), values.end(), centre);
        auto below = above;
        const auto first = values.begin();
        auto last = values.end(), stop = first;
        while (below != stop || above != last) {
            if (nodes_ >= node_limit_ && !best_.empty()) {
                stopped_ = true;
                return;
            }
            const bool up = below == stop || (above != last && *above - centre <= centre - *(below - 1));
            chosen_(level) = up ? *above++ : *--below;
            const double cost = bound_below(level);
            if (!(cost < radius())) {
                if (!centred) continue;
                if (up)
                    last = above;
                else
                    stop = below;
            } else if (level == 0) {
                keep(cost);
            } else {
                choose(level - 1);
                if (stopped_) return;
            }
        }
    }

    void keep(double cost) {
        if (best_.size() == count_) {
            std::pop_heap(best_.begin(), best_.end(), cheaper);
            best_.pop_back();
        }
        best_.push_back({{chosen_, cost}, nodes_});
        std::push_heap(best_.begin(), best_.end(), cheaper);
    }

    MatrixXd R_;
    BoxRelaxation relax_;
    MatrixXd follows_;    // column `level`: how the real optimum of those below follows one step of `level`
    MatrixXd stiffness_;  // column `level`: root of the cost of a step of each, others following
    std::vector<AllowedValues> allowed_;
    VectorXd lower_, upper_;
    MatrixXd wanted_;   // column `level`: right-hand side of what is still free
    MatrixXd free_;     // column `level`: real optimum of what is still free, without limits
    double noise_;      // rounding of a bound's root
    MatrixXd relaxed_;  // column `level`: the same within the limits
    VectorXd chosen_;
    std::vector<double> paid_;   // cost of the rows that are settled
    std::vector<bool> centred_;  // `relaxed_` is exact
    std::size_t count_;
    std::uint64_t node_limit_;
    std::uint64_t nodes_ = 0;
    bool stopped_ = false;
    double least_ = 0.0;
    std::vector<Kept> best_;  // a heap, the dearest in front
};

}  // namespace

IntegerSearch integer_least_squares(const MatrixXd& A, const VectorXd& b, const std::vector<AllowedValues>& allowed,
                                    std::size_t count, std::uint64_t node_limit) {
    require_fit(A, b);
    require_allowed(allowed, A.cols());
    require(count > 0, "integer least squares: at least one solution must be asked for");
    require(std::isfinite((largest_outputs(A, allowed) + b.cwiseAbs()).squaredNorm()),
            "integer least squares: numbers are too large to be squared");
    const Ordered problem = ordered(A, b, mean_spacing(allowed));
    Search search(problem, allowed, count, node_limit);
    search.run();

    IntegerSearch result;
    result.nodes = search.nodes();
    result.proven = search.finished();
    for (const IntegerSolution& found : search.take_best()) {
        IntegerSolution solution{VectorXd(A.cols()), 0.0};
        solution.x(problem.order) = found.x;
        solution.cost = (A * solution.x - b).squaredNorm();
        result.best.push_back(std::move(solution));
    }
    std::stable_sort(result.best.begin(), result.best.end(),
                     [](const IntegerSolution& a, const IntegerSolution& c) { return a.cost < c.cost; });
    const double cheapest = result.best.front().cost;
    result.bound = result.proven ? cheapest : std::min(search.least() * (1.0 - bound_rounding), cheapest);
    return result;
}

AllowedValues whole_numbers(std::int64_t least, std::int64_t most) {
    require(least <= most && static_cast<double>(most) - static_cast<double>(least) < most_whole_numbers,
            "whole numbers: an empty or endless range");
    AllowedValues values(static_cast<std::size_t>(most - least + 1));
    std::iota(values.begin(), values.end(), static_cast<double>(least));
    return values;
}

std::vector<AllowedValues> sufficient_whole_numbers(const MatrixXd& A, const VectorXd& b, std::size_t count) {
    require_fit(A, b);
    require(count > 0, "integer least squares: at least one solution must be asked for");
    const Index n = A.cols();
    const auto [order, t] = ordered(A, b, VectorXd::Ones(n));
    VectorXd rounded(n);
    for (Index i = n - 1; i >= 0; --i) {
        const Index behind = n - 1 - i;
        const double real = (t.y(i) - t.R.row(i).tail(behind).dot(rounded.tail(behind))) / t.R(i, i);
        rounded(i) = std::round(real);
    }
    // The count-th cheapest of some points is never below the count-th cheapest of all.
    const VectorXd residual = t.R * rounded - t.y;
    std::vector<double> costs = {residual.squaredNorm()};
    const auto reach = static_cast<std::int64_t>(count);
    for (Index i = 0; i < n; ++i)
        for (std::int64_t step = -reach; step <= reach; ++step)
            if (step != 0) costs.push_back((residual + static_cast<double>(step) * t.R.col(i)).squaredNorm());
    std::nth_element(costs.begin(), costs.begin() + static_cast<std::ptrdiff_t>(count - 1), costs.end());
    const double radius = std::sqrt(costs[count - 1]);

    const MatrixXd inverse = solve_upper(t.R, MatrixXd::Identity(n, n));
    const VectorXd real = inverse * t.y;
    std::vector<AllowedValues> ranges(static_cast<std::size_t>(n));
    for (Index i = 0; i < n; ++i) {
        const double rounding = 1e-9 * (1.0 + std::abs(real(i)));
        const double half = radius * inverse.row(i).norm() * (1.0 + 1e-9) + rounding;
        require(2.0 * half < most_whole_numbers && std::abs(real(i)) < 1e15,
                "integer least squares: columns are nearly dependent, the unlimited range is endless");
        ranges[static_cast<std::size_t>(order[static_cast<std::size_t>(i)])] =
            whole_numbers(static_cast<std::int64_t>(std::ceil(real(i) - half)),
                          static_cast<std::int64_t>(std::floor(real(i) + half)));
    }
    return ranges;
}

}  // namespace shimwise
