#include "shimwise/workshop/choose/stock.hpp"

#include <algorithm>
#include <cmath>
#include <compare>
#include <cstdint>
#include <map>
#include <numeric>
#include <stdexcept>

#include "shimwise/error.hpp"

namespace shimwise {
namespace {

// Thicknesses are counted in whole 1e-9 mm: sums are exact and totals compare exactly.
using Grains = std::int64_t;
constexpr double grains_per_mm = 1e9;
constexpr std::size_t most_totals = 4'000'000;  // thickness by thickness, summed
constexpr std::size_t most_ways = 5'000;        // to make one total, of those that move least
constexpr std::size_t most_tries = 200'000;     // of ways beside each other

using Counts = std::vector<int>;  // shims of each thickness

struct Effort {
    int moved = 0;
    int pieces = 0;

    auto operator<=>(const Effort&) const = default;
    Effort operator+(const Effort& other) const { return {moved + other.moved, pieces + other.pieces}; }
};

Grains grains(double mm) { return std::llround(mm * grains_per_mm); }

/// The thicknesses at hand, thickest first.
struct Pool {
    std::vector<Grains> thickness;
    std::vector<double> thickness_mm;
    Counts count;

    explicit Pool(std::vector<double> shims_mm) {
        std::sort(shims_mm.begin(), shims_mm.end(), std::greater<>());
        for (const double mm : shims_mm) {
            if (!(std::isfinite(mm) && grains(mm) > 0))
                throw std::invalid_argument("a shim's thickness is not above 0");
            if (thickness.empty() || thickness.back() != grains(mm)) {
                thickness.push_back(grains(mm));
                thickness_mm.push_back(mm);
                count.push_back(0);
            }
            ++count.back();
        }
    }

    std::size_t size() const { return count.size(); }

    Counts counts_of(const std::vector<double>& shims_mm) const {
        Counts counts(size(), 0);
        for (const double mm : shims_mm) {
            const auto at = std::find(thickness.begin(), thickness.end(), grains(mm));
            ++counts[static_cast<std::size_t>(at - thickness.begin())];
        }
        return counts;
    }

    StackChoice choice(const Counts& chosen, const Counts& fitted) const {
        StackChoice result;
        Grains total = 0;
        for (std::size_t i = 0; i < size(); ++i) {
            const auto copies = [](int n) { return static_cast<std::size_t>(std::max(n, 0)); };
            total += chosen[i] * thickness[i];
            result.shims_mm.insert(result.shims_mm.end(), copies(chosen[i]), thickness_mm[i]);
            result.add_mm.insert(result.add_mm.end(), copies(chosen[i] - fitted[i]), thickness_mm[i]);
            result.remove_mm.insert(result.remove_mm.end(), copies(fitted[i] - chosen[i]), thickness_mm[i]);
        }
        result.total_mm = static_cast<double>(total) / grains_per_mm;
        return result;
    }
};

[[noreturn]] void too_many() {
    throw OutOfReach("The shims make millions of different stacks: give thicknesses to 0.001 mm, or fewer shims.");
}

Effort effort(const Counts& chosen, const Counts& fitted) {
    Effort sum;
    for (std::size_t i = 0; i < chosen.size(); ++i) sum = sum + Effort{std::abs(chosen[i] - fitted[i]), chosen[i]};
    return sum;
}

/// A total that some thicknesses make, with least effort.
struct Reached {
    Grains total = 0;
    Effort effort;
    int count = 0;           // of the thickness that came last
    std::size_t before = 0;  // place of the rest in the level without it

    auto operator<=>(const Reached&) const = default;
};
using Level = std::vector<Reached>;  // ascending

const Reached* find(const Level& level, Grains total) {
    const auto at = std::lower_bound(level.begin(), level.end(), total,
                                     [](const Reached& one, Grains wanted) { return one.total < wanted; });
    return at != level.end() && at->total == total ? &*at : nullptr;
}

/// With a further thickness, `fitted` of it in the stack now. Effort adds up, so that the best stack of a total holds
/// the best stacks of its parts.
Level with_thickness(const Level& before, Grains thickness, int available, int fitted, Grains least, Grains most) {
    Level level;
    for (int n = 0; n <= available; ++n) {
        const auto middle = static_cast<std::ptrdiff_t>(level.size());
        for (std::size_t i = 0; i < before.size(); ++i) {
            const Grains total = before[i].total + n * thickness;
            if (total >= least && total <= most)
                level.push_back({total, before[i].effort + Effort{std::abs(n - fitted), n}, n, i});
        }
        std::inplace_merge(level.begin(), level.begin() + middle, level.end());
    }
    const auto same = [](const Reached& one, const Reached& other) { return one.total == other.total; };
    level.erase(std::unique(level.begin(), level.end(), same), level.end());
    return level;
}

struct Way {
    Counts chosen;
    Effort effort;
};

/// The ways to make `total` from the pool, least effort first: all, or where those are too many the ones that move
/// least.
class Ways {
public:
    Ways(const Pool& pool, const Counts& fitted, Grains total)
        : pool_(pool), fitted_(fitted), levels_(pool.size() + 1) {
        Grains before = 0;  // what the thicknesses up to this one make at most
        for (std::size_t i = 0; i < pool.size(); ++i) before += pool.count[i] * pool.thickness[i];
        levels_.back() = {Reached{}};
        std::size_t totals = 0;
        for (std::size_t i = pool.size(); i-- > 0;) {
            before -= pool.count[i] * pool.thickness[i];
            levels_[i] =
                with_thickness(levels_[i + 1], pool.thickness[i], pool.count[i], fitted[i], total - before, total);
            totals += levels_[i].size();
            if (totals > most_totals) too_many();
        }
        const Reached* const least = find(levels_.front(), total);
        if (!least) return;
        Counts chosen(pool.size(), 0);
        more_ = true;
        for (int moved = least->effort.moved; more_ && ways_.size() < most_ways; ++moved) {
            more_ = false;
            extend(chosen, 0, total, moved);
        }
        std::sort(ways_.begin(), ways_.end(), [](const Way& a, const Way& b) {
            const auto order = a.effort <=> b.effort;
            return order != 0 ? order < 0 : a.chosen > b.chosen;
        });
        levels_ = {};  // large, and done with
    }

    const std::vector<Way>& ways() const { return ways_; }

private:
    /// What moves exactly so many shims from here on: those that move fewer are had already, and none may be lost where
    /// there are too many.
    void extend(Counts& chosen, std::size_t i, Grains rest, int moved) {
        const Reached* const least = find(levels_[i], rest);
        if (!least || ways_.size() == most_ways) return;
        if (least->effort.moved > moved) {
            more_ = true;
            return;
        }
        if (i == pool_.size()) {
            if (moved == 0) ways_.push_back({chosen, effort(chosen, fitted_)});
            return;
        }
        for (int n = 0; n <= pool_.count[i] && n * pool_.thickness[i] <= rest; ++n) {
            chosen[i] = n;
            extend(chosen, i + 1, rest - n * pool_.thickness[i], moved - std::abs(n - fitted_[i]));
        }
        chosen[i] = 0;
    }

    const Pool& pool_;
    const Counts& fitted_;
    std::vector<Level> levels_;  // what the thicknesses from i on make
    bool more_ = false;          // some way moves more
    std::vector<Way> ways_;
};

/// Backtracking over the stacks; what is left of the pool was seen before with less effort, or cannot beat the best:
/// turned back.
class Together {
public:
    Together(const Pool& pool, const std::vector<const std::vector<Way>*>& stacks)
        : stacks_(stacks), seen_(stacks.size()) {
        least_from_.resize(stacks.size() + 1);
        for (std::size_t s = stacks.size(); s-- > 0;) least_from_[s] = least_from_[s + 1] + stacks[s]->front().effort;
        chosen_.resize(stacks.size());
        place(0, pool.count, {});
    }

    const std::optional<std::vector<std::size_t>>& best() const { return best_; }  // way of each stack

private:
    void place(std::size_t s, const Counts& left, Effort spent) {
        if (best_ && !(spent + least_from_[s] < best_effort_)) return;
        if (s == stacks_.size()) {
            best_ = chosen_;
            best_effort_ = spent;
            return;
        }
        const auto [before, is_new] = seen_[s].try_emplace(left, spent);
        if (!is_new && !(spent < before->second)) return;
        before->second = spent;
        const std::vector<Way>& ways = *stacks_[s];
        Counts rest(left.size());
        for (std::size_t w = 0; w < ways.size() && tries_ < most_tries; ++w, ++tries_) {
            const Effort after = spent + ways[w].effort;
            if (best_ && !(after + least_from_[s + 1] < best_effort_)) return;
            const Counts& way = ways[w].chosen;
            bool enough = true;
            for (std::size_t i = 0; i < left.size() && enough; ++i) enough = (rest[i] = left[i] - way[i]) >= 0;
            if (!enough) continue;
            chosen_[s] = w;
            place(s + 1, rest, after);
        }
    }

    const std::vector<const std::vector<Way>*>& stacks_;
    std::vector<std::map<Counts, Effort>> seen_;
    std::vector<Effort> least_from_;
    std::vector<std::size_t> chosen_;
    std::optional<std::vector<std::size_t>> best_;
    Effort best_effort_;
    std::size_t tries_ = 0;
};

std::vector<double> joined(std::vector<double> a, const std::vector<double>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

}  // namespace

std::vector<StackChoice> stack_choices(const std::vector<double>& fitted_mm, const std::vector<double>& box_mm,
                                       const std::optional<std::pair<double, double>>& limits_mm) {
    const Pool pool(joined(fitted_mm, box_mm));
    const Counts fitted = pool.counts_of(fitted_mm);
    Grains rest = 0;
    for (std::size_t i = 0; i < pool.size(); ++i) rest += pool.count[i] * pool.thickness[i];
    const Grains least = limits_mm ? grains(limits_mm->first) - 1 : 0;
    const Grains most = limits_mm ? grains(limits_mm->second) + 1 : rest;

    std::vector<Level> levels(pool.size() + 1);
    levels[0] = {Reached{}};
    std::size_t totals = 0;
    for (std::size_t i = 0; i < pool.size(); ++i) {
        rest -= pool.count[i] * pool.thickness[i];
        levels[i + 1] = with_thickness(levels[i], pool.thickness[i], pool.count[i], fitted[i], least - rest, most);
        totals += levels[i + 1].size();
        if (totals > most_totals) too_many();
    }

    std::vector<StackChoice> choices;
    for (const Reached& last : levels.back()) {
        if (last.total < least || last.total > most) continue;  // of no shims at all
        Counts chosen(pool.size(), 0);
        const Reached* reached = &last;
        for (std::size_t i = pool.size(); i-- > 0;) {
            chosen[i] = reached->count;
            reached = &levels[i][reached->before];
        }
        choices.push_back(pool.choice(chosen, fitted));
    }
    return choices;
}

StackChoice repacked(const std::vector<double>& from_mm, const std::vector<double>& to_mm) {
    const Pool pool(joined(from_mm, to_mm));
    return pool.choice(pool.counts_of(to_mm), pool.counts_of(from_mm));
}

std::optional<double> take(std::vector<double>& pool_mm, const std::vector<double>& shims_mm) {
    constexpr double same_mm = 1e-9;
    for (const double mm : shims_mm) {
        const auto found = std::find_if(pool_mm.begin(), pool_mm.end(),
                                        [mm](double other) { return std::fabs(other - mm) < same_mm; });
        if (found == pool_mm.end()) return mm;
        pool_mm.erase(found);
    }
    return std::nullopt;
}

std::optional<std::vector<StackChoice>> stack_together(const std::vector<std::vector<double>>& fitted_of_each_mm,
                                                       const std::vector<double>& box_mm,
                                                       const std::vector<double>& totals_wanted_mm) {
    if (fitted_of_each_mm.size() != totals_wanted_mm.size())
        throw std::invalid_argument("stack_together: one wanted total for each stack");
    std::vector<double> shims_mm = box_mm;
    for (const std::vector<double>& fitted_mm : fitted_of_each_mm) shims_mm = joined(std::move(shims_mm), fitted_mm);
    const Pool pool(shims_mm);

    std::map<std::pair<Counts, Grains>, Ways> known;  // stacks alike have the same ways
    std::vector<const std::vector<Way>*> stacks;
    std::vector<Counts> fitted;
    for (std::size_t s = 0; s < totals_wanted_mm.size(); ++s) {
        fitted.push_back(pool.counts_of(fitted_of_each_mm[s]));
        const Grains total = grains(totals_wanted_mm[s]);
        const auto of = known.try_emplace({fitted.back(), total}, pool, fitted.back(), total).first;
        stacks.push_back(&of->second.ways());
        if (stacks.back()->empty()) return std::nullopt;
    }
    const Together together(pool, stacks);
    if (!together.best()) return std::nullopt;
    std::vector<StackChoice> choices;
    for (std::size_t s = 0; s < stacks.size(); ++s)
        choices.push_back(pool.choice((*stacks[s])[(*together.best())[s]].chosen, fitted[s]));
    return choices;
}

}  // namespace shimwise
