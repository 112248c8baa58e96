#include "math/conditions.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "math/allowed.hpp"
#include "math/box_gap.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double inside_rounding = 1e-12;  // of what the allowed values make of a row
constexpr double endless = std::numeric_limits<double>::infinity();

std::size_t at(Index i) { return static_cast<std::size_t>(i); }

/// The least that one step of an unknown moves a row; 1 of a row that nothing moves.
double least_step(const MatrixXd& C, Index row, const VectorXd& spacing) {
    double least = endless;
    for (Index i = 0; i < C.cols(); ++i) {
        const double step = std::abs(C(row, i)) * spacing(i);
        if (step > 0.0) least = std::min(least, step);
    }
    return least < endless ? least : 1.0;
}

/// Values outside `low` to `high` leave the list.
bool cut(AllowedValues& values, double low, double high) {
    const std::size_t before = values.size();
    std::erase_if(values, [&](double v) { return v < low || v > high; });
    return values.size() != before;
}

/// What a row asks of each unknown, the others being anywhere in their lists; true: something was cut.
bool tighten_by_row(const ConditionRows& rows, Index r, std::vector<AllowedValues>& allowed) {
    double least = 0.0, most = 0.0, terms = 0.0;
    const auto ends = [&](Index i) {
        const double a = rows.C(r, i) * allowed[at(i)].front(), b = rows.C(r, i) * allowed[at(i)].back();
        return std::minmax({a, b});
    };
    for (Index i = 0; i < rows.C.cols(); ++i) {
        const auto [low, high] = ends(i);
        least += low;
        most += high;
        terms += std::max(std::abs(low), std::abs(high));
    }
    const double rounding = inside_rounding * terms;
    bool some = false;
    for (Index i = 0; i < rows.C.cols(); ++i) {
        const double c = rows.C(r, i);
        if (c == 0.0) continue;
        const auto [low, high] = ends(i);
        const double from = (rows.low(r) - (most - high) - rounding) / c,
                     to = (rows.high(r) - (least - low) + rounding) / c;
        if (cut(allowed[at(i)], std::min(from, to), std::max(from, to))) some = true;
        if (allowed[at(i)].empty()) return true;
        const auto [new_low, new_high] = ends(i);
        least += new_low - low;
        most += new_high - high;
    }
    return some;
}

}  // namespace

Groups::Groups(const std::vector<TogetherGroup>& groups, Index unknowns, Work& work)
    : groups_(groups), work_(work), of_(at(unknowns)), known_(groups.size()) {
    for (std::size_t g = 0; g < groups.size(); ++g) {
        require(static_cast<bool>(groups[g].takes), "conditions: a group cannot be asked");
        for (const Index i : groups[g].unknowns) {
            require(i >= 0 && i < unknowns, "conditions: a group holds an unknown that there is not");
            require(of_[at(i)].empty() || of_[at(i)].back() != g, "conditions: a group holds an unknown twice");
            of_[at(i)].push_back(g);
        }
    }
}

bool Groups::takes(std::size_t group, const Chosen& chosen) {
    const auto known = known_[group].find(chosen);
    if (known != known_[group].end()) return known->second;
    work_.nodes += groups_[group].work;
    const bool answer = groups_[group].takes(chosen);
    known_[group].emplace(chosen, answer);
    return answer;
}

int Groups::refused(std::size_t group, const VectorXd& x) {
    int count = 0;
    taken_.clear();
    for (const Index i : members(group)) taken_.emplace_back(i, x(i));
    if (takes(group, taken_)) return 0;
    Chosen some;
    for (const Index i : members(group)) {
        some.emplace_back(i, x(i));
        if (takes(group, some)) continue;
        some.pop_back();
        ++count;
    }
    return count;
}

ConditionRows condition_rows(const IntegerConditions& conditions, const std::vector<AllowedValues>& allowed) {
    const auto n = static_cast<Index>(allowed.size());
    ConditionRows rows{conditions.rows, conditions.low, conditions.high, {}};
    if (rows.C.size() == 0) rows.C.resize(rows.low.size(), n);
    require(rows.C.cols() == n && rows.C.rows() == rows.low.size() && rows.C.rows() == rows.high.size(),
            "conditions: rows, low and high do not fit together");
    require(rows.C.allFinite(), "conditions: a coefficient is not a finite number");
    require((rows.low.array() <= rows.high.array()).all() && (rows.low.array() < endless).all() &&
                (rows.high.array() > -endless).all(),
            "conditions: a window has nothing inside");
    const VectorXd largest = largest_outputs(rows.C, allowed), spacing = mean_spacing(allowed);
    require(std::isfinite(largest.squaredNorm()), "conditions: numbers are too large to be squared");
    rows.unit.resize(rows.size());
    for (Index r = 0; r < rows.size(); ++r) {
        const double half = rows.half(r);
        rows.unit(r) = half > 0.0 && half < endless ? half : least_step(rows.C, r, spacing);
    }
    rows.low -= inside_rounding * largest;
    rows.high += inside_rounding * largest;
    return rows;
}

bool out_of_reach(const ConditionRows& rows, const std::vector<AllowedValues>& allowed, double enough) {
    const VectorXd per = rows.unit.cwiseInverse();
    Box box{VectorXd(rows.C.cols()), VectorXd(rows.C.cols())};
    for (Index i = 0; i < rows.C.cols(); ++i) {
        box.lower(i) = allowed[at(i)].front();
        box.upper(i) = allowed[at(i)].back();
    }
    return out_of_reach({per.asDiagonal() * rows.C, per.cwiseProduct(rows.low), per.cwiseProduct(rows.high)}, box,
                        enough);
}

bool tighten(const ConditionRows& rows, Groups& groups, std::vector<AllowedValues>& allowed) {
    for (std::size_t i = 0; i < allowed.size(); ++i) {
        const auto unknown = static_cast<Index>(i);
        for (const std::size_t g : groups.of(unknown))
            std::erase_if(allowed[i], [&](double v) { return !groups.takes(g, {{unknown, v}}); });
        if (allowed[i].empty()) return false;
    }
    for (bool again = true; again;) {
        again = false;
        for (Index r = 0; r < rows.size(); ++r) {
            again = tighten_by_row(rows, r, allowed) || again;
            for (const AllowedValues& values : allowed)
                if (values.empty()) return false;
        }
    }
    return true;
}

ConditionedProblem ConditionedProblem::only(const std::vector<Index>& open, const VectorXd& others) const {
    ConditionedProblem part{A(Eigen::all, open), {}, {}, {rows.C(Eigen::all, open), {}, {}, rows.unit}, {}, others};
    VectorXd settled = others(unknowns);
    settled(open).setZero();
    for (const Index i : open) {
        part.allowed.push_back(allowed[at(i)]);
        part.unknowns.push_back(unknowns[at(i)]);
    }
    part.b = b - A * settled;
    const VectorXd u = rows.C * settled;
    part.rows.low = rows.low - u;
    part.rows.high = rows.high - u;
    return part;
}

Cheapest::Cheapest(std::size_t count, double below) : count_(count), limit_(std::nextafter(below, endless)) {}

bool Cheapest::keep(const VectorXd& x, double cost) {
    if (!(cost < radius())) return false;
    for (const IntegerSolution& known : best_)
        if (known.x == x) return false;
    const auto place = std::upper_bound(best_.begin(), best_.end(), cost,
                                        [](double c, const IntegerSolution& s) { return c < s.cost; });
    best_.insert(place, {x, cost});
    if (best_.size() > count_) best_.pop_back();
    return true;
}

}  // namespace shimwise
