// What a choice must keep: rows with windows, and groups of values that some of must be had at the same time.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <map>
#include <utility>
#include <vector>

#include "shimwise/math/integer_least_squares.hpp"

namespace shimwise {

/// Bounds, partial choices and tried steps that have been paid, of those that may be.
struct Work {
    std::uint64_t nodes = 0, limit = 0;
    bool spent() const { return nodes >= limit; }
};

/// The groups' answers, each asked for once and paid as work.
class Groups {
public:
    using Chosen = std::vector<std::pair<Eigen::Index, double>>;

    Groups(const std::vector<TogetherGroup>& groups, Eigen::Index unknowns, Work& work);

    std::size_t size() const { return groups_.size(); }
    const std::vector<std::size_t>& of(Eigen::Index unknown) const { return of_[static_cast<std::size_t>(unknown)]; }
    const std::vector<Eigen::Index>& members(std::size_t group) const { return groups_[group].unknowns; }
    bool takes(std::size_t group, const Chosen& chosen);
    /// How many values of x the group refuses beside those before them.
    int refused(std::size_t group, const Eigen::VectorXd& x);

private:
    const std::vector<TogetherGroup>& groups_;
    Work& work_;
    std::vector<std::vector<std::size_t>> of_;
    std::vector<std::map<Chosen, bool>> known_;
    Chosen taken_;
};

/// low <= C x <= high with the ends widened by the rounding, and in which unit a row's miss counts: half its window,
/// or the least that one step of an unknown moves it where it has no width.
struct ConditionRows {
    Eigen::MatrixXd C;
    Eigen::VectorXd low, high, unit;

    Eigen::Index size() const { return C.rows(); }
    bool inside(const Eigen::VectorXd& u) const {
        return (u.array() >= low.array()).all() && (u.array() <= high.array()).all();
    }
    double half(Eigen::Index r) const { return 0.5 * (high(r) - low(r)); }  // infinite of an open window
};

/// Throws std::invalid_argument: shapes, a number that is none, a window without inside.
ConditionRows condition_rows(const IntegerConditions& conditions, const std::vector<AllowedValues>& allowed);

/// Whether the lists' ends cannot reach the windows of all rows together, by more than `enough` of their units, proven:
/// that needs no search.
bool out_of_reach(const ConditionRows& rows, const std::vector<AllowedValues>& allowed, double enough);

/// The lists without values that break a row or a group whatever the others are; false: an unknown keeps none.
bool tighten(const ConditionRows& rows, Groups& groups, std::vector<AllowedValues>& allowed);

/// A whole-number problem with conditions, or what is left of one where some unknowns have their values already.
struct ConditionedProblem {
    Eigen::MatrixXd A;
    Eigen::VectorXd b;
    std::vector<AllowedValues> allowed;
    ConditionRows rows;
    std::vector<Eigen::Index> unknowns;  // that the columns stand for
    Eigen::VectorXd x;                   // values of all unknowns; of those with a column none that count

    ConditionedProblem only(const std::vector<Eigen::Index>& open, const Eigen::VectorXd& others) const;
};

/// The cheapest choices so far, each once.
class Cheapest {
public:
    Cheapest(std::size_t count, double below);

    double radius() const { return best_.size() < count_ ? limit_ : std::min(limit_, best_.back().cost); }
    double limit() const { return limit_; }
    void set_limit(double limit) { limit_ = limit; }
    /// false: too dear, or there already.
    bool keep(const Eigen::VectorXd& x, double cost);
    const std::vector<IntegerSolution>& best() const { return best_; }

private:
    std::size_t count_;
    double limit_;  // the first cost that is too much
    std::vector<IntegerSolution> best_;
};

}  // namespace shimwise
