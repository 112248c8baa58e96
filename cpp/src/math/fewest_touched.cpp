#include "shimwise/math/fewest_touched.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <limits>
#include <numeric>
#include <queue>
#include <utility>

#include "math/allowed.hpp"
#include "math/box_gap.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double inside_rounding = 1e-12;  // of what the allowed values make of a row
constexpr double same = 1e-12;             // prices, distances and lengths that differ by less of them are equal
constexpr double endless = std::numeric_limits<double>::infinity();

std::size_t at(Index i) { return static_cast<std::size_t>(i); }

bool holds_zero(const AllowedValues& values) { return std::binary_search(values.begin(), values.end(), 0.0); }

AllowedValues without_zero(AllowedValues values) {
    std::erase(values, 0.0);
    return values;
}

/// The size of the ends of windows, nothing of an open one.
VectorXd finite_or_none(const VectorXd& ends) { return ends.array().isFinite().select(ends.array().abs(), 0.0); }

/// The problem with rows of unit length, so that no unit counts more than another; windows widened by the rounding.
struct Problem {
    std::vector<AllowedValues> allowed, moved;  // all values; those other than 0
    VectorXd price;
    Windows windows;
    MatrixXd abs_A;
    VectorXd slack;         // rounding of a row
    Windows middle;         // rows with two ends, as they were given: both ends in the middle
    std::vector<Index> by;  // unknowns by what one step of them moves, most first

    Problem(const MatrixXd& A, const VectorXd& low, const VectorXd& high, const std::vector<AllowedValues>& lists,
            VectorXd prices)
        : allowed(lists), price(std::move(prices)), by(at(A.cols())) {
        for (const AllowedValues& values : lists) moved.push_back(without_zero(values));
        VectorXd scale = A.rowwise().norm();
        for (double& s : scale) s = s > 0.0 ? 1.0 / s : 1.0;
        windows.A = scale.asDiagonal() * A;
        abs_A = windows.A.cwiseAbs();
        slack = inside_rounding * largest_outputs(windows.A, lists);
        windows.low = scale.cwiseProduct(low) - slack;
        windows.high = scale.cwiseProduct(high) + slack;
        std::vector<Index> two_ends;
        for (Index r = 0; r < A.rows(); ++r)
            if (std::isfinite(low(r)) && std::isfinite(high(r))) two_ends.push_back(r);
        middle.A = A(two_ends, Eigen::all);
        middle.low = 0.5 * low(two_ends) + 0.5 * high(two_ends);
        middle.high = middle.low;
        const VectorXd step = windows.A.colwise().norm().transpose().cwiseProduct(mean_spacing(lists));
        std::iota(by.begin(), by.end(), Index{0});
        std::stable_sort(by.begin(), by.end(), [&](Index a, Index b) { return step(a) > step(b); });
    }

    Index unknowns() const { return price.size(); }

    double price_of(const VectorXd& x) const { return (x.array() != 0.0).select(price.array(), 0.0).sum(); }

    bool inside(const VectorXd& x) const {
        const VectorXd u = windows.A * x;
        return (u.array() >= windows.low.array()).all() && (u.array() <= windows.high.array()).all();
    }

    /// No x of the box is inside, seen from one row alone.
    bool row_misses(const Box& box) const {
        const VectorXd centre = windows.A * (0.5 * (box.lower + box.upper));
        const VectorXd half = abs_A * (0.5 * (box.upper - box.lower)) + slack;
        return ((centre + half).array() < windows.low.array()).any() ||
               ((centre - half).array() > windows.high.array()).any();
    }

    Box box(const std::vector<AllowedValues>& lists) const {
        Box b{VectorXd(unknowns()), VectorXd(unknowns())};
        for (Index i = 0; i < unknowns(); ++i) {
            b.lower(i) = lists[at(i)].front();
            b.upper(i) = lists[at(i)].back();
        }
        return b;
    }
};

bool less(double a, double b) { return a < b - same * std::abs(b); }

/// Nearer to the middle, or as near and shorter.
bool better(const TouchedChoice& a, const TouchedChoice& b) {
    if (less(a.distance, b.distance)) return true;
    return !less(b.distance, a.distance) && less(a.x.squaredNorm(), b.x.squaredNorm());
}

struct Work {
    std::uint64_t nodes = 0, limit = 0;
    bool spent() const { return nodes >= limit; }
};

/// Depth-first search over given lists for the choice inside that is nearest to the middle, or for any.
class Inside {
public:
    Inside(const Problem& problem, std::vector<AllowedValues> lists, bool any, Work& work)
        : p_(problem), lists_(std::move(lists)), any_(any), work_(work), box_(p_.box(lists_)) {}

    /// What is found better than `best` takes its place. false: the limit ended it.
    bool run(std::optional<TouchedChoice>& best) {
        best_ = &best;
        const VectorXd rest = VectorXd::Zero(p_.unknowns());
        choose(0, rest, rest);
        return !stopped_;
    }

private:
    bool cannot(VectorXd& x, VectorXd& nearest) const {
        if (p_.row_misses(box_) || box_gap(p_.windows, box_, 0.0, x).distance > 0.0) return true;
        if (any_ || p_.middle.A.rows() == 0) {
            nearest = x;
            return false;
        }
        const double known = *best_ ? std::sqrt((*best_)->distance * (1.0 + same)) : endless;
        return box_gap(p_.middle, box_, known, nearest).distance > known;
    }

    void choose(std::size_t level, VectorXd x, VectorXd nearest) {
        if (work_.spent()) stopped_ = true;
        if (done()) return;
        ++work_.nodes;
        if (level == p_.by.size()) return keep(box_.lower);
        if (cannot(x, nearest)) return;
        const Index i = p_.by[level];
        const AllowedValues& values = lists_[at(i)];
        auto above = std::lower_bound(values.begin(), values.end(), nearest(i)), below = above;
        while ((below != values.begin() || above != values.end()) && !done()) {
            const bool up =
                below == values.begin() || (above != values.end() && *above - nearest(i) <= nearest(i) - *(below - 1));
            box_.lower(i) = box_.upper(i) = up ? *above++ : *--below;
            choose(level + 1, x, nearest);
        }
        box_.lower(i) = values.front();
        box_.upper(i) = values.back();
    }

    void keep(const VectorXd& x) {
        if (!p_.inside(x)) return;
        TouchedChoice found{x, p_.price_of(x), (p_.middle.A * x - p_.middle.low).squaredNorm()};
        if (!*best_ || better(found, **best_)) *best_ = std::move(found);
        found_ = true;
    }

    bool done() const { return stopped_ || (any_ && found_); }

    const Problem& p_;
    std::vector<AllowedValues> lists_;
    bool any_;
    Work& work_;
    Box box_;
    std::optional<TouchedChoice>* best_ = nullptr;
    bool stopped_ = false, found_ = false;
};

/// A set of touched unknowns, and those that its larger sets may touch too; a set is reached on one way only.
struct Set {
    std::vector<bool> touched;
    std::vector<Index> open;
    double price = 0.0;
    double least = 0.0;  // what this set and all larger ones of it cost at least
    std::uint64_t number = 0;
};

struct LaterInOrder {
    bool operator()(const Set& a, const Set& b) const {
        return a.least != b.least ? a.least > b.least : a.number > b.number;
    }
};

/// Goes through the sets in the order of their price.
class Sets {
public:
    /// What is done with a set whose box can reach the windows; false: that ends it.
    using Reaches = std::function<bool(const Set&)>;
    /// Whether sets that cost as much as this, or more, are still wanted.
    using Wanted = std::function<bool(double least)>;

    Sets(const Problem& problem, Work& work) : p_(problem), work_(work) {}

    /// false: the limit ended it, or `reaches` did.
    bool run(const Wanted& wanted, const Reaches& reaches) {
        Set first{std::vector<bool>(at(p_.unknowns())), {}, 0.0, 0.0, 0};
        for (Index i = 0; i < p_.unknowns(); ++i) {
            if (!holds_zero(p_.allowed[at(i)]))
                touch(first, i);
            else if (!p_.moved[at(i)].empty())
                first.open.push_back(i);
        }
        first.least = first.price;
        queue_.push(std::move(first));
        while (!queue_.empty()) {
            const Set set = queue_.top();
            queue_.pop();
            if (!wanted(set.least)) return true;
            if (work_.spent()) return false;
            ++work_.nodes;
            if (beyond(set, true, 0.0).distance > 0.0) continue;
            const BoxGap missing = beyond(set, false, endless);
            if (!(missing.distance > 0.0) && !reaches(set)) return false;
            larger(set, missing);
        }
        return true;
    }

    /// The lists with the touched unknowns moved, the open ones free or at 0, all others at 0.
    std::vector<AllowedValues> lists(const Set& set, bool with_open) const {
        std::vector<AllowedValues> of(at(p_.unknowns()), AllowedValues{0.0});
        for (Index i = 0; i < p_.unknowns(); ++i)
            if (set.touched[at(i)]) of[at(i)] = p_.moved[at(i)];
        if (with_open)
            for (const Index i : set.open) of[at(i)] = p_.allowed[at(i)];
        return of;
    }

private:
    void touch(Set& set, Index i) const {
        set.touched[at(i)] = true;
        set.price += p_.price(i);
    }

    BoxGap beyond(const Set& set, bool with_open, double enough) const {
        VectorXd x = VectorXd::Zero(p_.unknowns());
        return box_gap(p_.windows, p_.box(lists(set, with_open)), enough, x);
    }

    /// The sets with one unknown more.
    void larger(const Set& set, const BoxGap& missing) {
        std::vector<Index> open = set.open;
        double least = set.price;
        if (missing.distance > 0.0) {
            const VectorXd gain = gains(set, missing.direction);
            least += least_to_pay(open, gain, missing.distance);
            if (least == endless) return;
            std::stable_sort(open.begin(), open.end(), [&](Index a, Index b) { return gain(a) > gain(b); });
        }
        for (std::size_t k = 0; k < open.size(); ++k) {
            Set more{set.touched,
                     {open.begin() + static_cast<std::ptrdiff_t>(k) + 1, open.end()},
                     set.price,
                     0.0,
                     ++numbered_};
            touch(more, open[k]);
            more.least = std::max(more.price, least * (1.0 - same));
            queue_.push(std::move(more));
        }
    }

    /// How far each open unknown can bring the outputs along a direction, at most.
    VectorXd gains(const Set& set, const VectorXd& direction) const {
        const VectorXd pull = p_.windows.A.transpose() * direction;
        VectorXd gain = VectorXd::Zero(p_.unknowns());
        for (const Index i : set.open) {
            const AllowedValues& values = p_.allowed[at(i)];
            gain(i) = std::max(-pull(i) * values.front(), -pull(i) * values.back());
        }
        return gain;
    }

    /// What is lacking must come from open unknowns, each for its price: at least what those of best value cost, the
    /// last one in part. Infinite where all together are too little.
    double least_to_pay(std::vector<Index> open, const VectorXd& gain, double lacks) const {
        std::erase_if(open, [&](Index i) { return !(gain(i) > 0.0); });
        std::sort(open.begin(), open.end(),
                  [&](Index a, Index b) { return gain(a) * p_.price(b) > gain(b) * p_.price(a); });
        const double enough = same * lacks;
        double paid = 0.0;
        for (const Index i : open) {
            if (!(lacks > enough)) break;
            paid += p_.price(i) * std::min(1.0, lacks / gain(i));
            lacks -= gain(i);
        }
        return lacks > enough ? endless : paid;
    }

    const Problem& p_;
    Work& work_;
    std::priority_queue<Set, std::vector<Set>, LaterInOrder> queue_;
    std::uint64_t numbered_ = 0;
};

/// The cheapest choice of all sets; false: the limit ended it.
bool cheapest_choice(const Problem& problem, Work& work, std::optional<TouchedChoice>& best) {
    Sets sets(problem, work);
    const auto wanted = [&](double least) { return !(best && less(best->price, least)); };
    return sets.run(wanted, [&](const Set& set) {
        std::optional<TouchedChoice> of_set;
        if (best && !less(set.price, best->price)) of_set = best;
        const bool finished = Inside(problem, sets.lists(set, false), false, work).run(of_set);
        if (of_set) best = std::move(of_set);
        return finished;
    });
}

/// Sets that reach the windows and have not been asked about: they wait until no cheaper one can come.
class Waiting {
public:
    void add(const Set& set) {
        std::vector<Index> unknowns;
        for (std::size_t i = 0; i < set.touched.size(); ++i)
            if (set.touched[i]) unknowns.push_back(static_cast<Index>(i));
        cheapest_ = std::min(cheapest_, set.price);
        sets_.push_back({set.price, std::move(unknowns)});
    }

    /// Asks about those that cost less than `least`: in the order of their price, of equal ones the fewest unknowns
    /// first, then by the unknowns. true: one was accepted.
    bool ask(double least, const Accepts& accepts, FirstTouchedSet& result) {
        if (!less(cheapest_, least)) return false;
        const auto later =
            std::partition(sets_.begin(), sets_.end(), [&](const One& s) { return less(s.price, least); });
        std::vector<One> due(std::make_move_iterator(sets_.begin()), std::make_move_iterator(later));
        sets_.erase(sets_.begin(), later);
        cheapest_ = endless;
        for (const One& s : sets_) cheapest_ = std::min(cheapest_, s.price);
        std::sort(due.begin(), due.end(), [](const One& a, const One& b) { return a.price < b.price; });
        for (auto from = due.begin(); from != due.end();) {
            const auto to = std::find_if(from, due.end(), [&](const One& s) { return less(from->price, s.price); });
            std::sort(from, to, [](const One& a, const One& b) {
                return a.unknowns.size() != b.unknowns.size() ? a.unknowns.size() < b.unknowns.size()
                                                              : a.unknowns < b.unknowns;
            });
            for (; from != to; ++from) {
                if (!accepts(from->unknowns)) continue;
                result.price = from->price;
                result.set = std::move(from->unknowns);
                return true;
            }
        }
        return false;
    }

private:
    struct One {
        double price;
        std::vector<Index> unknowns;
    };
    std::vector<One> sets_;
    double cheapest_ = endless;
};

/// Throws std::invalid_argument where the problem is none.
void require_touched(const MatrixXd& A, const VectorXd& low, const VectorXd& high,
                     const std::vector<AllowedValues>& allowed, const VectorXd& price) {
    require(A.cols() > 0 && A.rows() == low.size() && A.rows() == high.size() && A.cols() == price.size(),
            "fewest touched: A, low, high and price do not fit together");
    require(A.allFinite(), "fewest touched: a coefficient is not a finite number");
    require((low.array() <= high.array()).all() && (low.array() < endless).all() && (high.array() > -endless).all(),
            "fewest touched: a window has nothing inside");
    require(price.allFinite() && (price.array() >= 0.0).all(),
            "fewest touched: a price must be a number of at least 0");
    require(std::isfinite(price.sum()), "fewest touched: prices are too large to be summed");
    require_allowed(allowed, A.cols());
    const VectorXd largest = largest_outputs(A, allowed) + finite_or_none(low) + finite_or_none(high);
    require(std::isfinite(largest.squaredNorm()), "fewest touched: numbers are too large to be squared");
}

}  // namespace

TouchedSearch fewest_touched(const MatrixXd& A, const VectorXd& low, const VectorXd& high,
                             const std::vector<AllowedValues>& allowed, const VectorXd& price,
                             std::uint64_t node_limit) {
    require_touched(A, low, high, allowed, price);
    const Problem problem(A, low, high, allowed, price);
    TouchedSearch result;
    // Any choice inside, or the proof that there is none; at most half of the work.
    Work work{0, node_limit / 2 + 1};
    const bool known = Inside(problem, allowed, true, work).run(result.best);
    work.limit = node_limit;
    result.proven = (known && !result.best) || cheapest_choice(problem, work, result.best);
    result.nodes = work.nodes;
    return result;
}

FirstTouchedSet first_touched_set(const MatrixXd& A, const VectorXd& low, const VectorXd& high,
                                  const std::vector<AllowedValues>& allowed, const VectorXd& price,
                                  const Accepts& accepts, std::uint64_t node_limit) {
    require_touched(A, low, high, allowed, price);
    require(static_cast<bool>(accepts), "first touched set: nothing says which set is accepted");
    const Problem problem(A, low, high, allowed, price);
    Work work{0, node_limit};
    FirstTouchedSet result;
    Waiting waiting;
    const auto reaches = [&](const Set& set) {
        waiting.add(set);
        return true;
    };
    const bool through =
        Sets(problem, work).run([&](double least) { return !waiting.ask(least, accepts, result); }, reaches);
    if (through && !result.set) waiting.ask(std::numeric_limits<double>::max(), accepts, result);
    result.proven = through;
    result.nodes = work.nodes;
    return result;
}

}  // namespace shimwise
