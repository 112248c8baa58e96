#include "shimwise/math/integer_least_squares.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "math/allowed.hpp"
#include "math/decompositions.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// Longest list of whole numbers; a problem that needs more has nearly dependent columns.
constexpr double most_whole_numbers = 1e6;

void require_fit(const MatrixXd& A, const VectorXd& b) {
    require(A.cols() > 0 && A.rows() == b.size(), "integer least squares: A and b do not fit together");
    require(A.allFinite() && b.allFinite(), "integer least squares: a coefficient is not a finite number");
}

void require_full_rank(const MatrixXd& A, const VectorXd& b) {
    const VectorXd norms = A.colwise().norm();
    require(norms.minCoeff() > 0.0, "integer least squares: a column is zero, add a ridge");
    const LeastSquares unit_columns = least_squares(A * norms.cwiseInverse().asDiagonal(), b);
    require(unit_columns.rank == A.cols(), "integer least squares: columns depend on each other, add a ridge");
}

/// Row norms of the pseudo-inverse: 1 / distance of each column to the span of the others.
VectorXd pseudo_inverse_row_norms(const MatrixXd& A) {
    const Index n = A.cols();
    const MatrixXd R = triangle(A, VectorXd::Zero(A.rows())).R;
    return solve_upper(R, MatrixXd::Identity(n, n)).rowwise().norm();
}

/// Columns in the order of the QR; the last is chosen first. From the last place to the first: the column that stands
/// farthest from the span of those still to be placed (Foschini et al. 1999), so that early choices cost the most.
std::vector<Index> search_order(const MatrixXd& A, const VectorXd& spacing) {
    std::vector<Index> order, open;
    for (Index i = 0; i < A.cols(); ++i) (spacing(i) > 0.0 ? open : order).push_back(i);  // settled ones come first
    while (!open.empty()) {
        const VectorXd norms = pseudo_inverse_row_norms(A(Eigen::all, open) * spacing(open).asDiagonal());
        Index farthest = 0;
        norms.minCoeff(&farthest);
        order.push_back(open[static_cast<std::size_t>(farthest)]);
        open.erase(open.begin() + farthest);
    }
    std::reverse(order.begin(), order.end());
    return order;
}

/// |A x - b|^2 = |R x(order) - y|^2 + rest.
struct Ordered {
    std::vector<Index> order;
    Triangle triangle;
};

Ordered ordered(const MatrixXd& A, const VectorXd& b, const VectorXd& spacing) {
    std::vector<Index> order = search_order(A, spacing);
    Triangle found = triangle(A(Eigen::all, order), b);
    return {std::move(order), std::move(found)};
}

struct Relaxed {
    double cost = 0.0;   // a true lower bound
    bool exact = false;  // z is the optimum to rounding
};

/// Minimum of |R z - w|^2 over lower <= z <= upper from a feasible z, which becomes the optimum: active set of Stark &
/// Parker 1995. Convexity makes the cost a lower bound whatever z: f(x) >= f(z) + min over the box of f'(z) (x - z).
Relaxed relax_in_box(const Eigen::Ref<const MatrixXd>& R, const Eigen::Ref<const MatrixXd>& gram,
                     const Eigen::Ref<const VectorXd>& w, const Eigen::Ref<const VectorXd>& lower,
                     const Eigen::Ref<const VectorXd>& upper, Eigen::Ref<VectorXd> z) {
    const Index n = z.size();
    const VectorXd q = R.transpose() * w;
    const double reach = lower.lpNorm<Eigen::Infinity>() + upper.lpNorm<Eigen::Infinity>();
    const double noise = 1e-12 * (q.lpNorm<Eigen::Infinity>() + gram.lpNorm<Eigen::Infinity>() * reach);
    std::vector<bool> held(static_cast<std::size_t>(n));
    for (Index i = 0; i < n; ++i) held[static_cast<std::size_t>(i)] = !(z(i) > lower(i) && z(i) < upper(i));
    Relaxed result;
    for (Index step = 0; step < 10 * (n + 1) && !result.exact; ++step) {
        std::vector<Index> open, shut;
        for (Index i = 0; i < n; ++i) (held[static_cast<std::size_t>(i)] ? shut : open).push_back(i);
        double advance = 1.0;
        if (!open.empty()) {
            const VectorXd goal = solve_positive(gram(open, open), q(open) - gram(open, shut) * z(shut));
            Index blocking = -1;
            for (std::size_t j = 0; j < open.size(); ++j) {
                const Index i = open[j];
                const double to = goal(static_cast<Index>(j));
                const double limit = to < lower(i) ? lower(i) : upper(i);
                if (to >= lower(i) && to <= upper(i)) continue;
                const double fraction = (limit - z(i)) / (to - z(i));
                if (!(fraction < advance) && blocking >= 0) continue;
                advance = fraction;
                blocking = i;
            }
            for (std::size_t j = 0; j < open.size(); ++j)
                z(open[j]) += advance * (goal(static_cast<Index>(j)) - z(open[j]));
            z = z.cwiseMax(lower).cwiseMin(upper);
            if (blocking >= 0) {
                const auto i = blocking;
                z(i) = upper(i) - z(i) < z(i) - lower(i) ? upper(i) : lower(i);
                held[static_cast<std::size_t>(i)] = true;
                continue;
            }
        }
        const VectorXd gradient = gram * z - q;
        double worst = noise;
        Index release = -1;
        for (const Index i : shut) {
            if (!(upper(i) > lower(i))) continue;
            const double pull = z(i) >= upper(i) ? gradient(i) : -gradient(i);
            if (pull > worst) {
                worst = pull;
                release = i;
            }
        }
        if (release < 0)
            result.exact = true;
        else
            held[static_cast<std::size_t>(release)] = false;
    }
    const VectorXd residual = R * z - w;
    const VectorXd slope = 2.0 * (R.transpose() * residual);
    result.cost = residual.squaredNorm();
    for (Index i = 0; i < n; ++i) result.cost += std::min(slope(i) * (lower(i) - z(i)), slope(i) * (upper(i) - z(i)));
    result.cost = std::max(result.cost, 0.0);
    return result;
}

/// Depth-first search; at `level` the unknowns above it are chosen, `level` is next, those below are still real.
class Search {
public:
    Search(const Ordered& problem, const std::vector<AllowedValues>& allowed, std::size_t count,
           std::uint64_t node_limit)
        : R_(problem.triangle.R), gram_(R_.transpose().lazyProduct(R_)), count_(count), node_limit_(node_limit) {
        const Index n = R_.cols();
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
        paid_.back() = problem.triangle.rest;
    }

    void run() {
        const Index top = R_.cols() - 1;
        bound(top);
        choose(top);
    }

    bool finished() const { return !stopped_; }
    std::uint64_t nodes() const { return nodes_; }
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

    /// Lower bound of the cost with the unknowns above `level` as chosen; leaves their real optimum in `relaxed_`.
    double bound(Index level) {
        const Index n = level + 1;
        const auto w = wanted_.col(level).head(n);
        const VectorXd free = R_.topLeftCorner(n, n).triangularView<Eigen::Upper>().solve(w);
        const auto lower = lower_.head(n), upper = upper_.head(n);
        const double paid = paid_[static_cast<std::size_t>(level)];
        if ((free.array() >= lower.array()).all() && (free.array() <= upper.array()).all()) {
            relaxed_.col(level).head(n) = free;
            centred_[static_cast<std::size_t>(level)] = true;
            return paid;
        }
        const Relaxed relaxed = relax_in_box(R_.topLeftCorner(n, n), gram_.topLeftCorner(n, n), w, lower, upper,
                                             relaxed_.col(level).head(n));
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
        relaxed_.col(level - 1).head(level) = relaxed_.col(level).head(level);
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

    MatrixXd R_, gram_;
    std::vector<AllowedValues> allowed_;
    VectorXd lower_, upper_;
    MatrixXd wanted_;   // column `level`: right-hand side of what is still free
    MatrixXd relaxed_;  // column `level`: real optimum of what is still free
    VectorXd chosen_;
    std::vector<double> paid_;   // cost of the rows that are settled
    std::vector<bool> centred_;  // `relaxed_` is exact
    std::size_t count_;
    std::uint64_t node_limit_;
    std::uint64_t nodes_ = 0;
    bool stopped_ = false;
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
    require_full_rank(A, b);
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
    require_full_rank(A, b);
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
