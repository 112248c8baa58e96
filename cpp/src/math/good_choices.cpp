#include "math/good_choices.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include "math/allowed.hpp"
#include "math/conditioned_search.hpp"
#include "math/lattice.hpp"
#include "math/search_order.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double endless = std::numeric_limits<double>::infinity();
constexpr std::uint64_t tries_per_node = 16;            // steps tried that are as much work as a bound
constexpr double settles = 1e-9;                        // share of the penalty by which a step must gain
constexpr double missed_gains = 2.0, kept_loses = 0.3;  // weight of a row where a descent stands still
constexpr int most_steps = 150;                         // of one descent
constexpr int most_settled = 3;                         // times that it may lose
constexpr std::uint64_t closest_nodes = 400;            // of a search of the soft problem
constexpr std::size_t closest_count = 2;                // of its choices that are starts
constexpr int reweighted = 4;                           // searches of one gap, rows weighing otherwise each time

std::size_t at(Index i) { return static_cast<std::size_t>(i); }

/// Some unknowns, and by how much each moves at the same time.
using Step = std::vector<std::pair<Index, double>>;

/// The distance of the nearest neighbours, the unit of a list's lattice; 0 of a single value.
double unit_of(const AllowedValues& values) {
    double unit = endless;
    for (std::size_t i = 1; i < values.size(); ++i) unit = std::min(unit, values[i] - values[i - 1]);
    return unit < endless ? unit : 0.0;
}

double nearest(const AllowedValues& values, double to) {
    const auto above = std::lower_bound(values.begin(), values.end(), to);
    if (above == values.begin()) return *above;
    if (above == values.end()) return values.back();
    return *above - to < to - *(above - 1) ? *above : *(above - 1);
}

/// Steps down cost + weighted misses; the lists are kept, rows and groups may be missed on the way.
class Descent {
public:
    Descent(const ConditionedProblem& p, Groups& groups, Cheapest& cheapest, Work& work)
        : p_(p), groups_(groups), cheapest_(cheapest), work_(work), gram_(p.A.transpose() * p.A) {
        weight_.setOnes(p.rows.size());
        full_ = p.x;
    }

    void add(Step step) { steps_.push_back(std::move(step)); }

    void start(const VectorXd& x, double weight) {
        x_ = x;
        weight_.setConstant(weight);
        group_weight_ = weight;
        refresh();
    }

    /// By how much each row misses its window, in its unit.
    VectorXd misses() const {
        VectorXd off(u_.size());
        for (Index r = 0; r < off.size(); ++r) off(r) = miss(r, u_(r));
        return off;
    }

    /// Best step after best step; where none gains, what is missed weighs more, and everything less where nothing is.
    void run() {
        int settled = 0;
        for (int step = 0; step < most_steps && !work_.spent(); ++step) {
            if (advance()) continue;
            const VectorXd off = misses();
            const int refused = refused_by_groups(x_);
            if (off.sum() > 0.0 || refused > 0) {
                for (Index r = 0; r < off.size(); ++r)
                    if (off(r) > 0.0) weight_(r) *= missed_gains;
                if (refused > 0) group_weight_ *= missed_gains;
            } else {
                if (++settled > most_settled) return;
                weight_ *= kept_loses;
                group_weight_ *= kept_loses;
            }
        }
    }

private:
    double miss(Index r, double u) const {
        return std::max({p_.rows.low(r) - u, u - p_.rows.high(r), 0.0}) / p_.rows.unit(r);
    }

    void refresh() {
        u_ = p_.rows.C * x_;
        slope_ = gram_ * x_ - p_.A.transpose() * p_.b;
        cost_ = (p_.A * x_ - p_.b).squaredNorm();
        penalty_ = rows_penalty(u_) + groups_penalty(x_);
        consider();
    }

    double rows_penalty(const VectorXd& u) const {
        double sum = 0.0;
        for (Index r = 0; r < u.size(); ++r) {
            const double off = miss(r, u(r));
            if (off > 0.0) sum += weight_(r) * off;
        }
        return sum;
    }

    int refused_by_groups(const VectorXd& x) {
        if (groups_.size() == 0) return 0;
        for (Index i = 0; i < x.size(); ++i) full_(p_.unknowns[at(i)]) = x(i);
        int sum = 0;
        for (std::size_t g = 0; g < groups_.size(); ++g) sum += groups_.refused(g, full_);
        return sum;
    }
    double groups_penalty(const VectorXd& x) { return group_weight_ * refused_by_groups(x); }

    void consider() {
        if (!p_.rows.inside(u_) || !(cost_ < cheapest_.radius()) || refused_by_groups(x_) > 0) return;
        for (Index i = 0; i < x_.size(); ++i) full_(p_.unknowns[at(i)]) = x_(i);
        cheapest_.keep(full_, cost_);
    }

    /// What the step makes of cost and penalty; infinite where it moves nothing.
    double gain(const Step& step, double sign) {
        if (++tries_ % tries_per_node == 0) ++work_.nodes;
        taken_.clear();
        for (const auto& [i, by] : step) {
            const double to = nearest(p_.allowed[at(i)], x_(i) + sign * by);
            if (to != x_(i)) taken_.emplace_back(i, to - x_(i));
        }
        if (taken_.empty()) return endless;
        double change = 0.0;
        for (const auto& [i, d] : taken_) {
            double curved = 0.0;
            for (const auto& [j, e] : taken_) curved += gram_(i, j) * e;
            change += d * (2.0 * slope_(i) + curved);
        }
        if (!(cost_ + change < cost_ + penalty_)) return endless;
        moved_ = u_;
        for (const auto& [i, d] : taken_) moved_ += d * p_.rows.C.col(i);
        double penalty = rows_penalty(moved_);
        if (groups_.size() > 0 && cost_ + change + penalty < cost_ + penalty_) {
            tried_ = x_;
            for (const auto& [i, d] : taken_) tried_(i) = nearest(p_.allowed[at(i)], x_(i) + d);  // to the last bit
            penalty += groups_penalty(tried_);
        }
        return change + penalty - penalty_;
    }

    bool advance() {
        penalty_ = rows_penalty(u_) + groups_penalty(x_);
        double best = -settles * (1.0 + cost_ + penalty_);
        Step taken;
        const auto offer = [&](const Step& step, double sign) {
            const double by = gain(step, sign);
            if (by < best) {
                best = by;
                taken = taken_;
            }
        };
        for (Index i = 0; i < x_.size(); ++i)
            for (const double value : p_.allowed[at(i)])
                if (value != x_(i)) offer({{i, value - x_(i)}}, 1.0);
        for (const Step& step : steps_)
            for (const double sign : {1.0, -1.0}) offer(step, sign);
        if (taken.empty()) return false;
        for (const auto& [i, d] : taken) x_(i) = nearest(p_.allowed[at(i)], x_(i) + d);
        refresh();
        return true;
    }

    const ConditionedProblem& p_;
    Groups& groups_;
    Cheapest& cheapest_;
    Work& work_;
    MatrixXd gram_;
    std::vector<Step> steps_;
    VectorXd x_, u_, slope_, weight_, full_, moved_, tried_;
    double cost_ = 0.0, penalty_ = 0.0, group_weight_ = 1.0;
    Step taken_;  // the step that was tried last, as far as the lists let it
    std::uint64_t tries_ = 0;
};

MatrixXd soft_matrix(const ConditionedProblem& p, const VectorXd& weight, const VectorXd& ridge) {
    const Index n = p.A.cols(), m = p.rows.size();
    MatrixXd S(p.A.rows() + m + n, n);
    S << p.A, weight.asDiagonal() * p.rows.C, MatrixXd(ridge.asDiagonal());
    return S;
}

/// Steps of the lattice that is reduced for these weights, and sums and differences of two of them.
void add_steps(const ConditionedProblem& p, const VectorXd& weight, double ridge, Descent& descent) {
    std::vector<Index> open;
    VectorXd unit(p.A.cols()), tie(p.A.cols());
    for (Index i = 0; i < p.A.cols(); ++i) {
        const AllowedValues& values = p.allowed[at(i)];
        unit(i) = unit_of(values);
        tie(i) = unit(i) > 0.0 ? ridge / (values.back() - values.front()) : 0.0;
        if (unit(i) > 0.0) open.push_back(i);
    }
    if (open.empty()) return;
    const MatrixXd B = soft_matrix(p, weight, tie)(Eigen::all, open) * unit(open).asDiagonal();
    const MatrixXd U = reduced_lattice(B);
    const auto add = [&](const VectorXd& u) {
        Step step;
        for (Index j = 0; j < u.size(); ++j)
            if (u(j) != 0.0) step.emplace_back(open[at(j)], u(j) * unit(open[at(j)]));
        descent.add(std::move(step));
    };
    for (Index a = 0; a < U.cols(); ++a) {
        add(U.col(a));
        for (Index c = 0; c < a; ++c) {
            add(U.col(a) + U.col(c));
            add(U.col(a) - U.col(c));
        }
    }
}

/// Exact searches of a few unknowns, the others staying as in the best choice: those that act most like one of them,
/// one after the other, and drawn ones; more of them where that makes nothing cheaper.
class Improvement {
public:
    Improvement(const ConditionedProblem& p, double real, std::uint32_t draw, Groups& groups, Cheapest& cheapest,
                Work& work)
        : p_(p),
          gap_(std::max(cheapest.best().front().cost - real, settles)),
          groups_(groups),
          cheapest_(cheapest),
          work_(work),
          random_(draw) {
        MatrixXd S = soft_matrix(p, soft_rows(p, gap_).weight, VectorXd::Zero(p.A.cols()));
        S.colwise().normalize();
        likeness_ = (S.transpose() * S).cwiseAbs();
    }

    void run() {
        const std::uint64_t limit = work_.limit;
        const Index n = p_.A.cols();
        for (Index size = std::min<Index>(fewest_open, n); work_.nodes < limit; size = std::min(size + 3, n)) {
            for (Index idle = 0, i = 0; idle < 2 * n && work_.nodes < limit; ++idle, ++i) {
                work_.limit = std::min(limit, work_.nodes + part_nodes);
                if (search(i % 2 == 0 ? alike(i / 2 % n, size) : drawn(size))) idle = 0;
            }
            if (size == n) break;
        }
        work_.limit = limit;
    }

private:
    static constexpr Index fewest_open = 8;
    static constexpr std::uint64_t part_nodes = 3000;

    std::vector<Index> alike(Index i, Index size) const {
        std::vector<Index> open = all();
        std::stable_sort(open.begin(), open.end(), [&](Index a, Index b) { return likeness_(a, i) > likeness_(b, i); });
        open.resize(at(size));
        return open;
    }

    std::vector<Index> drawn(Index size) {
        std::vector<Index> open = all();
        for (Index k = 0; k < size; ++k) {
            const auto left = static_cast<std::uint32_t>(p_.A.cols() - k);
            std::swap(open[at(k)], open[at(k) + random_() % left]);
        }
        open.resize(at(size));
        return open;
    }

    std::vector<Index> all() const {
        std::vector<Index> of(at(p_.A.cols()));
        std::iota(of.begin(), of.end(), Index{0});
        return of;
    }

    /// true: something cheaper was found.
    bool search(const std::vector<Index>& open) {
        const IntegerSolution known = cheapest_.best().front();
        const ConditionedProblem part = p_.only(open, known.x);
        Cheapest cheaper(1, known.cost * (1.0 - settles));
        search_conditioned(part, soft_rows(part, gap_), groups_, cheaper, work_);
        return !cheaper.best().empty() && cheapest_.keep(cheaper.best().front().x, cheaper.best().front().cost);
    }

    const ConditionedProblem& p_;
    double gap_;
    Groups& groups_;
    Cheapest& cheapest_;
    Work& work_;
    MatrixXd likeness_;
    std::mt19937 random_;  // its numbers are laid down in the standard
};

}  // namespace

void good_choices(const ConditionedProblem& p, double real, Groups& groups, Cheapest& cheapest, Work& work) {
    const Index n = p.A.cols(), m = p.rows.size();
    const double unit = 1.0 + real;
    Descent descent(p, groups, cheapest, work);
    for (const double gap : {0.1 * unit, 10.0 * unit}) {
        const SoftRows soft = soft_rows(p, gap);
        add_steps(p, soft.weight, std::sqrt(gap + soft.most), descent);
    }
    VectorXd rest(n);
    for (Index i = 0; i < n; ++i) rest(i) = nearest(p.allowed[at(i)], 0.0);
    descent.start(rest, unit);
    descent.run();
    for (const double gap : {unit, 10.0 * unit, 0.1 * unit, 100.0 * unit}) {
        SoftRows soft = soft_rows(p, gap);
        for (int round = 0; round < reweighted && !work.spent(); ++round) {
            const MatrixXd S = soft_matrix(p, soft.weight, VectorXd::Zero(n));
            if (!independent(S)) break;
            VectorXd goal = VectorXd::Zero(S.rows());
            goal.head(p.b.size() + m) << p.b, soft.weight.cwiseProduct(soft.centre);
            const IntegerSearch found = integer_least_squares(S, goal, p.allowed, closest_count, closest_nodes);
            work.nodes += found.nodes;
            VectorXd off = VectorXd::Zero(m);
            for (const IntegerSolution& start : found.best) {
                descent.start(start.x, 0.1 * unit);
                off = descent.misses();
                descent.run();
            }
            for (Index r = 0; r < m; ++r) soft.weight(r) *= off(r) > 0.0 ? 2.0 : 0.8;
        }
    }
}

void improve_best(const ConditionedProblem& p, double real, std::uint32_t draw, Groups& groups, Cheapest& cheapest,
                  Work& work) {
    if (!cheapest.best().empty()) Improvement(p, real, draw, groups, cheapest, work).run();
}

}  // namespace shimwise
