#include "math/conditioned_search.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "math/allowed.hpp"
#include "math/box_relaxation.hpp"
#include "math/search_order.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double endless = std::numeric_limits<double>::infinity();
// By which a bound without its own proof from rounding is lowered, as a share of what it is made of.
constexpr double bound_rounding = 1e-11;
constexpr int weight_sweeps = 40;
constexpr int multiplier_sweeps = 40;
// Most that a soft row of no width weighs against a unit of it.
constexpr double heaviest = 1e3;

std::size_t at(Index i) { return static_cast<std::size_t>(i); }

MatrixXd stacked(const ConditionedProblem& p, const SoftRows& soft) {
    MatrixXd S(p.A.rows() + p.rows.size(), p.A.cols());
    S << p.A, soft.weight.asDiagonal() * p.rows.C;
    return S;
}

VectorXd stacked_goal(const ConditionedProblem& p, const SoftRows& soft) {
    VectorXd goal(p.b.size() + p.rows.size());
    goal << p.b, soft.weight.cwiseProduct(soft.centre);
    return goal;
}

/// |R z - y|^2 + rest while unknowns are chosen from the last to the first; column `level` of what depends on a level
/// has the unknowns above it chosen.
class Quadratic {
public:
    explicit Quadratic(Triangle t) : R_(std::move(t.R)) {
        const Index n = R_.cols();
        inverse_ = solve_upper(R_, MatrixXd::Identity(n, n));
        follows_.setZero(n, n);
        stiffness_.setZero(n, n);
        for (Index level = 0; level < n; ++level) {
            follows_.col(level).head(level) = R_(level, level) * inverse_.col(level).head(level);
            for (Index i = 0; i <= level; ++i)
                stiffness_(i, level) = 1.0 / inverse_.row(i).segment(i, level - i + 1).norm();
        }
        wanted_.setZero(n, n);
        free_.setZero(n, n);
        paid_.setZero(n);
        wanted_.col(n - 1) = t.y;
        free_.col(n - 1) = inverse_ * t.y;
        paid_(n - 1) = t.rest;
        noise_ = bound_rounding * t.y.norm();
    }

    const MatrixXd& R() const { return R_; }
    const MatrixXd& inverse() const { return inverse_; }
    auto follows(Index level) const { return follows_.col(level).head(level); }
    auto wanted(Index level) const { return wanted_.col(level).head(level + 1); }
    auto free(Index level) const { return free_.col(level).head(level + 1); }
    double paid(Index level) const { return paid_(level); }
    double noise() const { return noise_; }

    /// Cost of the chosen rows with `value` too.
    double paid_with(Index level, double value) const {
        const double miss = wanted_(level, level) - R_(level, level) * value;
        return paid_(level) + miss * miss;
    }
    void choose(Index level, double value, double paid) {
        paid_(level - 1) = paid;
        wanted_.col(level - 1).head(level) = wanted_.col(level).head(level) - value * R_.col(level).head(level);
        free_.col(level - 1).head(level) =
            free_.col(level).head(level) - (free_(level, level) - value) * follows_.col(level).head(level);
    }
    /// Root of what bringing back the one unknown that is outside most costs, all others free.
    double beyond(Index level, const VectorXd& lower, const VectorXd& upper) const {
        double most = 0.0;
        for (Index i = 0; i <= level; ++i) {
            const double off = std::max(lower(i) - free_(i, level), free_(i, level) - upper(i));
            if (off > 0.0) most = std::max(most, off * stiffness_(i, level));
        }
        return most;
    }

private:
    MatrixXd R_, inverse_;
    MatrixXd follows_;    // how the real optimum of those below follows one step of `level`
    MatrixXd stiffness_;  // root of the cost of a step of each, others following
    MatrixXd wanted_;     // right-hand side of what is still free
    MatrixXd free_;       // its real optimum without limits
    VectorXd paid_;
    double noise_;  // rounding of a bound's root
};

/// What the rows can still become.
class RowReach {
public:
    RowReach(MatrixXd C, const ConditionRows& rows, const VectorXd& lower, const VectorXd& upper)
        : C_(std::move(C)), low_(rows.low), high_(rows.high) {
        const Index n = C_.cols(), m = C_.rows();
        least_.setZero(m, n + 1);
        most_.setZero(m, n + 1);
        for (Index i = 0; i < n; ++i) {
            const VectorXd a = C_.col(i) * lower(i), b = C_.col(i) * upper(i);
            least_.col(i + 1) = least_.col(i) + a.cwiseMin(b);
            most_.col(i + 1) = most_.col(i) + a.cwiseMax(b);
        }
        done_.setZero(m, n);
        rounding_ = bound_rounding * (least_.cwiseAbs().rowwise().maxCoeff() + most_.cwiseAbs().rowwise().maxCoeff());
    }

    const VectorXd& rounding() const { return rounding_; }

    /// The values of `level` with which each row can still come inside.
    std::pair<double, double> range(Index level) const {
        double from = -endless, to = endless;
        for (Index r = 0; r < C_.rows(); ++r) {
            const double c = C_(r, level);
            const double low = low_(r) - done_(r, level) - most_(r, level) - rounding_(r);
            const double high = high_(r) - done_(r, level) - least_(r, level) + rounding_(r);
            if (c == 0.0) {
                if (!(low <= 0.0 && high >= 0.0)) return {endless, -endless};
                continue;
            }
            const double a = low / c, b = high / c;
            from = std::max(from, std::min(a, b));
            to = std::min(to, std::max(a, b));
        }
        return {from, to};
    }
    void choose(Index level, double value) { done_.col(level - 1) = done_.col(level) + value * C_.col(level); }

private:
    MatrixXd C_;
    VectorXd low_, high_, rounding_;
    MatrixXd least_, most_;  // column i: of the sum over the first i unknowns
    MatrixXd done_;          // column `level`: what is chosen makes of the rows
};

/// What bringing a row inside costs at least, of a sum of squares.
class RowCost {
public:
    RowCost(const MatrixXd& C, const ConditionRows& rows, const VectorXd& rounding, const Quadratic& cost)
        : low_(rows.low - rounding), high_(rows.high + rounding) {
        const Index n = C.cols(), m = C.rows();
        pull_.setZero(m, n);
        stiffness_.setZero(m, n);
        for (Index i = 0; i < n; ++i) {
            pull_.col(i) = C.col(i) + C.leftCols(i) * cost.follows(i);
            const MatrixXd spread = C.leftCols(i + 1) * cost.inverse().topLeftCorner(i + 1, i + 1);
            for (Index r = 0; r < m; ++r) {
                const double norm = spread.row(r).norm();
                stiffness_(r, i) = norm > 0.0 ? 1.0 / norm : 0.0;
            }
        }
        free_.setZero(m, n);
        free_.col(n - 1) = C * cost.free(n - 1);
    }

    /// `free`: the real optimum of `level`.
    void choose(Index level, double value, double free) {
        free_.col(level - 1) = free_.col(level) - (free - value) * pull_.col(level);
    }
    /// Root of what the one row that is outside most costs, all unknowns free.
    double beyond(Index level) const {
        double most = 0.0;
        for (Index r = 0; r < low_.size(); ++r) {
            const double off = std::max(low_(r) - free_(r, level), free_(r, level) - high_(r));
            if (off > 0.0) most = std::max(most, off * stiffness_(r, level));
        }
        return most;
    }

private:
    VectorXd low_, high_;
    MatrixXd pull_;       // column `level`: how the rows follow one step of it, those below following
    MatrixXd stiffness_;  // column `level`: root of the cost of a unit of each row
    MatrixXd free_;       // column `level`: the rows at the real optimum without limits
};

/// Depth-first search; at `level` the unknowns above it are chosen, `level` is next, those below are still real.
class Search {
public:
    Search(const ConditionedProblem& p, const Ordered& order, const SoftRows& soft, Groups& groups, Cheapest& cheapest,
           Work& work)
        : p_(p),
          order_(order.order),
          soft_(order.triangle),
          most_(soft.most),
          cost_(triangle(p.A(Eigen::all, order_), p.b)),
          relax_(soft_.R()),
          groups_(groups),
          cheapest_(cheapest),
          work_(work),
          x_(p.x) {
        const Index n = p.A.cols();
        lower_.resize(n);
        upper_.resize(n);
        for (Index i = 0; i < n; ++i) {
            allowed_.push_back(p.allowed[at(order_[at(i)])]);
            lower_(i) = allowed_.back().front();
            upper_(i) = allowed_.back().back();
        }
        const MatrixXd C = p.rows.C(Eigen::all, order_);
        reach_.emplace(C, p.rows, lower_, upper_);
        rows_of_cost_.emplace(C, p.rows, reach_->rounding(), cost_);
        rows_of_soft_.emplace(C, p.rows, reach_->rounding(), soft_);
        relaxed_.setZero(n, n);
        relaxed_.col(n - 1) = lower_;
        centred_.assign(at(n), false);
        bound_.setZero(n);
        level_of_.assign(at(p.x.size()), -1);
        for (Index i = 0; i < n; ++i) level_of_[at(unknown(i))] = i;
    }

    SearchEnd run() {
        const Index top = p_.A.cols() - 1;
        soft_bound_ = without_rows(soft_.paid(top));
        bound_(top) = bound(top);
        choose(top);
        return {!stopped_, std::max(open_, 0.0)};
    }

private:
    Index unknown(Index level) const { return p_.unknowns[at(order_[at(level)])]; }

    /// A true lower bound of the cost from one of the soft problem.
    double without_rows(double soft) const { return soft * (1.0 - bound_rounding) - most_; }
    double dear(double root, double noise) const { return std::max(root * (1.0 - bound_rounding) - noise, 0.0); }

    /// Lower bound of the cost with the unknowns above `level` as chosen; leaves the real optimum of the soft problem
    /// in `relaxed_`, unless the bound is too dear already.
    double bound(Index level) {
        const double radius = cheapest_.radius();
        const double root =
            dear(std::max(cost_.beyond(level, lower_, upper_), rows_of_cost_->beyond(level)), cost_.noise());
        const double alone = cost_.paid(level) * (1.0 - bound_rounding) + root * root;
        by_soft_ = false;
        if (alone >= radius) return alone;
        by_soft_ = true;
        const Index n = level + 1;
        const double of_rows = dear(rows_of_soft_->beyond(level), soft_.noise());
        const double with_rows = std::max(alone, without_rows(soft_.paid(level) + of_rows * of_rows));
        if (with_rows >= radius) {
            by_soft_ = false;
            return with_rows;
        }
        const double soft_root = dear(soft_.beyond(level, lower_, upper_), soft_.noise());
        if (!(soft_root > 0.0)) {
            relaxed_.col(level).head(n) = soft_.free(level).cwiseMax(lower_.head(n)).cwiseMin(upper_.head(n));
            centred_[at(level)] = true;
            return with_rows;
        }
        soft_bound_ = without_rows(soft_.paid(level) + soft_root * soft_root);
        if (soft_bound_ >= radius) return soft_bound_;
        if (level + 1 < p_.A.cols()) relaxed_.col(level).head(n) = relaxed_.col(level + 1).head(n);
        const Relaxed relaxed = relax_(soft_.wanted(level), lower_, upper_, relaxed_.col(level).head(n));
        centred_[at(level)] = relaxed.exact;
        soft_bound_ = without_rows(soft_.paid(level) + relaxed.cost);
        return std::max(with_rows, soft_bound_);
    }

    /// The bound with `value` chosen too.
    double bound_below(Index level, double value) {
        ++work_.nodes;
        const double paid = cost_.paid_with(level, value), soft = soft_.paid_with(level, value);
        soft_bound_ = without_rows(soft);
        const double alone = std::max(paid * (1.0 - bound_rounding), soft_bound_);
        by_soft_ = soft_bound_ >= cheapest_.radius();
        if (level == 0 || alone >= cheapest_.radius()) return alone;
        reach_->choose(level, value);
        rows_of_cost_->choose(level, value, cost_.free(level)(level));
        rows_of_soft_->choose(level, value, soft_.free(level)(level));
        cost_.choose(level, value, paid);
        soft_.choose(level, value, soft);
        return bound(level - 1);
    }

    bool groups_take(Index level) {
        for (const std::size_t g : groups_.of(unknown(level))) {
            chosen_.clear();
            for (const Index i : groups_.members(g))
                if (level_of_[at(i)] < 0 || level_of_[at(i)] >= level) chosen_.emplace_back(i, x_(i));
            if (!groups_.takes(g, chosen_)) return false;
        }
        return true;
    }

    /// Tries the values of `level` that the rows leave outward from the real optimum of the soft problem. Its bound is
    /// convex in the value, so that a side ends with the first value that is too dear by it.
    void choose(Index level) {
        const auto [from, to] = reach_->range(level);
        const AllowedValues& values = allowed_[at(level)];
        const auto first = std::lower_bound(values.begin(), values.end(), from);
        const auto last = std::upper_bound(first, values.end(), to);
        const double centre = relaxed_(level, level);
        auto above = std::lower_bound(first, last, centre), below = above;
        auto end = last, stop = first;
        while ((below != stop || above != end) && bound_(level) < cheapest_.radius()) {
            if (work_.spent()) {
                stopped_ = true;
                leave_open(level, above != end ? &*above : nullptr, below != stop ? &*(below - 1) : nullptr);
                return;
            }
            const bool up = below == stop || (above != end && *above - centre <= centre - *(below - 1));
            const double value = up ? *above++ : *--below;
            x_(unknown(level)) = value;
            if (!groups_take(level)) continue;
            const double cost = std::max(bound_below(level, value), bound_(level));
            if (!(cost < cheapest_.radius())) {
                if (!ends_side(level, value, up)) continue;
                if (up)
                    end = above;
                else
                    stop = below;
            } else if (level == 0) {
                keep();
            } else {
                bound_(level - 1) = cost;
                choose(level - 1);
                if (stopped_) {
                    leave_open(level, above != end ? &*above : nullptr, below != stop ? &*(below - 1) : nullptr);
                    return;
                }
            }
        }
    }

    /// Whether what makes `value` too dear makes those beyond it too dear as well.
    bool ends_side(Index level, double value, bool up) const {
        if (by_soft_) return centred_[at(level)];
        const double free = cost_.free(level)(level);
        return (up ? value >= free : value <= free) &&
               cost_.paid_with(level, value) * (1.0 - bound_rounding) >= cheapest_.radius();
    }

    /// The search ends here: the bound of the values of `level` that were not tried. That of the soft problem alone
    /// grows outward.
    void leave_open(Index level, const double* above, const double* below) {
        for (const double* value : {above, below}) {
            if (value == nullptr) continue;
            bound_below(level, *value);
            open_ = std::min(open_, centred_[at(level)] ? std::max(bound_(level), soft_bound_) : bound_(level));
        }
    }

    void keep() {
        VectorXd z(p_.A.cols());
        for (Index i = 0; i < z.size(); ++i) z(order_[at(i)]) = x_(unknown(i));
        if (p_.rows.inside(p_.rows.C * z)) cheapest_.keep(x_, (p_.A * z - p_.b).squaredNorm());
    }

    const ConditionedProblem& p_;
    std::vector<Index> order_;
    Quadratic soft_;
    double most_;  // that keeping the rows adds to the soft problem
    Quadratic cost_;
    BoxRelaxation relax_;
    std::optional<RowReach> reach_;
    std::optional<RowCost> rows_of_cost_, rows_of_soft_;
    Groups& groups_;
    Cheapest& cheapest_;
    Work& work_;
    std::vector<AllowedValues> allowed_;
    VectorXd lower_, upper_;
    MatrixXd relaxed_;  // column `level`: real optimum of the soft problem within the limits
    std::vector<bool> centred_;
    VectorXd bound_;  // of the node at each level
    VectorXd x_;      // of all unknowns
    std::vector<Index> level_of_;
    Groups::Chosen chosen_;
    double soft_bound_ = 0.0;  // the last bound of the soft problem within its limits alone
    bool by_soft_ = false;     // it was the one that counted
    bool stopped_ = false;
    double open_ = endless;  // bound of what was not tried
};

}  // namespace

SoftRows soft_rows(const ConditionedProblem& p, double gap) {
    const Index m = p.rows.size(), n = p.A.cols();
    SoftRows soft{VectorXd::Zero(m), VectorXd::Zero(m), 0.0};
    std::vector<Index> narrow;
    for (Index r = 0; r < m; ++r)
        if (p.rows.half(r) < endless) {
            narrow.push_back(r);
            soft.centre(r) = 0.5 * (p.rows.low(r) + p.rows.high(r));
        }
    if (narrow.empty()) return soft;
    const auto k = static_cast<Index>(narrow.size());
    const MatrixXd C = p.rows.unit(narrow).cwiseInverse().asDiagonal() * p.rows.C(narrow, Eigen::all);
    VectorXd share(k);  // what a soft row of weight 1 adds at most
    for (Index r = 0; r < k; ++r) share(r) = std::pow(p.rows.half(narrow[at(r)]) / p.rows.unit(narrow[at(r)]), 2);
    const MatrixXd gram = p.A.transpose() * p.A;
    VectorXd t = VectorXd::Ones(k);
    for (int sweep = 0; sweep < weight_sweeps; ++sweep) {
        const auto L = cholesky(gram + C.transpose() * t.asDiagonal() * C);
        if (!L) break;
        const MatrixXd half = solve_lower(*L, C.transpose());
        const double sum = gap + t.dot(share);
        for (Index r = 0; r < k; ++r) {
            const double grows = half.col(r).squaredNorm() * sum, pays = static_cast<double>(n) * share(r);
            t(r) = std::min(pays > 0.0 ? t(r) * grows / pays : heaviest * heaviest, heaviest * heaviest * sum);
        }
    }
    for (Index r = 0; r < k; ++r) {
        soft.weight(narrow[at(r)]) = std::sqrt(t(r)) / p.rows.unit(narrow[at(r)]);
        soft.most += t(r) * share(r);
    }
    // Rows that weigh too much hide what the cost says of the directions along them.
    while (soft.most > 0.0 && !independent(stacked(p, soft))) {
        soft.weight *= 0.1;
        soft.most *= 0.01;
    }
    return soft;
}

double real_bound(const ConditionedProblem& p) {
    const Index m = p.rows.size(), n = p.A.cols();
    VectorXd lower(n), upper(n);
    for (Index i = 0; i < n; ++i) {
        lower(i) = p.allowed[at(i)].front();
        upper(i) = p.allowed[at(i)].back();
    }
    const Triangle plain = triangle(p.A, p.b);
    BoxRelaxation relax(plain.R);
    VectorXd multiplier = VectorXd::Zero(m);
    const MatrixXd turned = solve_lower(plain.R.transpose(), p.rows.C.transpose());  // R'^-1 C'
    double best = 0.0;
    // Of |A x - b|^2 + 2 multiplier (C x - end of the window on its side).
    const auto bound = [&](const VectorXd& l) {
        const VectorXd goal = plain.y - turned * l;
        VectorXd z = lower;
        const Relaxed relaxed = relax(goal, lower, upper, z);
        const double moved = plain.y.squaredNorm() - goal.squaredNorm();
        double held = 0.0, terms = plain.y.squaredNorm() + goal.squaredNorm();
        for (Index r = 0; r < m; ++r) {
            if (l(r) == 0.0) continue;
            const double end = 2.0 * l(r) * (l(r) > 0.0 ? p.rows.high(r) : p.rows.low(r));
            held += end;
            terms += std::abs(end);
        }
        best = std::max(best, relaxed.cost + plain.rest + moved - held - bound_rounding * (terms + plain.rest));
        return z;
    };
    // Rows weigh about as much as the cost they compete with, ten times more each time they do not come nearer.
    const VectorXd spread = turned.colwise().norm().transpose();
    VectorXd weight(m);
    for (Index r = 0; r < m; ++r) weight(r) = spread(r) > 0.0 ? 1.0 / (spread(r) * spread(r)) : 0.0;
    VectorXd z = bound(multiplier), goal(p.b.size() + m);
    for (int sweep = 0; sweep < multiplier_sweeps; ++sweep) {
        // Augmented: the nearest points of the windows, moved by the multipliers, are what the rows aim at.
        MatrixXd S(p.A.rows() + m, n);
        S << p.A, weight.cwiseSqrt().asDiagonal() * p.rows.C;
        const MatrixXd R = triangle(S, VectorXd::Zero(S.rows())).R;
        BoxRelaxation augmented(R);
        VectorXd shift(m);
        for (int inner = 0; inner < 5; ++inner) {
            const VectorXd u = p.rows.C * z;
            for (Index r = 0; r < m; ++r) {
                const double moved = weight(r) > 0.0 ? u(r) + multiplier(r) / weight(r) : u(r);
                const double inside = std::clamp(moved, p.rows.low(r), p.rows.high(r));
                shift(r) = weight(r) > 0.0 ? inside - multiplier(r) / weight(r) : 0.0;
            }
            goal << p.b, weight.cwiseSqrt().cwiseProduct(shift);
            augmented(solve_lower(R.transpose(), S.transpose() * goal), lower, upper, z);
        }
        const VectorXd u = p.rows.C * z;
        double miss = 0.0;
        for (Index r = 0; r < m; ++r) {
            if (!(weight(r) > 0.0)) continue;
            const double moved = u(r) + multiplier(r) / weight(r);
            multiplier(r) = weight(r) * (moved - std::clamp(moved, p.rows.low(r), p.rows.high(r)));
            const double off = u(r) - std::clamp(u(r), p.rows.low(r), p.rows.high(r));
            miss = std::max(miss, std::abs(off) / p.rows.unit(r));
        }
        bound(multiplier);
        if (!(miss > 1e-6)) break;
        if (sweep % 5 == 4) weight *= 10.0;
    }
    return best;
}

SearchEnd search_conditioned(const ConditionedProblem& p, const SoftRows& soft, Groups& groups, Cheapest& cheapest,
                             Work& work) {
    const Ordered order = ordered(stacked(p, soft), stacked_goal(p, soft), mean_spacing(p.allowed));
    return Search(p, order, soft, groups, cheapest, work).run();
}

}  // namespace shimwise
