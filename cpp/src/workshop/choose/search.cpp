#include "workshop/choose/search.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "math/decompositions.hpp"
#include "shimwise/math/integer_least_squares.hpp"
#include "workshop/choose/best_first.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double root_per_squared_step = 1e-3;  // root of what a squared step costs
constexpr std::size_t most_listed = 12'800;
constexpr int most_linearisations = 30;
constexpr double matters_deg = 0.01;  // what a gauge shows of a limit
constexpr int most_sets = 5'000;      // of unknowns that are touched

// Nodes of the linear model and combinations of the nonlinear one. Where that does not do, the best so far is the
// answer, and it is not proven. Work is counted, not timed: the same question always has the same answer.
constexpr std::uint64_t work_at_corner = 2'000'000;
constexpr double work_of_option = 300.0;
constexpr std::uint64_t work_of_combination = 3;
constexpr double work_of_list(double unknowns) { return 0.25 * unknowns * unknowns * unknowns; }

void offer(Option& option, const Candidate& c) {
    if (option.closest.at.empty() || nearer(c, option.closest)) {
        if (!option.closest.at.empty()) option.second = option.closest;
        option.closest = c;
    } else if (c.at != option.closest.at && (!option.second || nearer(c, *option.second))) {
        option.second = c;
    }
    if (c.guarded && (!option.guarded || less_work(c, *option.guarded))) option.guarded = c;
    if (c.within && (!option.within || less_work(c, *option.within))) option.within = c;
}

std::vector<std::size_t> shared_part(const std::vector<std::size_t>& shared, const Combination& at) {
    std::vector<std::size_t> part;
    for (const std::size_t u : shared) part.push_back(at[u]);
    return part;
}

/// Every combination, the unknown with the most settings innermost: neighbours then start from each other's position.
void enumerate(const CornerProblem& problem, CornerSearch& result) {
    const std::vector<std::size_t> shared = shared_unknowns(problem);
    std::vector<std::size_t> order(problem.unknowns.size());
    for (std::size_t u = 0; u < order.size(); ++u) order[u] = u;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return problem.unknowns[a].settings.size() > problem.unknowns[b].settings.size();
    });
    std::map<std::vector<std::size_t>, Option> by_shared;
    Evaluator evaluate(problem);
    Combination at(problem.unknowns.size(), 0);
    for (bool more = true; more;) {
        if (const auto candidate = evaluate(at)) {
            Option& option = by_shared[shared_part(shared, at)];
            offer(option, *candidate);
        }
        more = false;
        for (const std::size_t u : order) {
            if (++at[u] < problem.unknowns[u].settings.size()) {
                more = true;
                break;
            }
            at[u] = 0;
        }
    }
    for (auto& [key, option] : by_shared) {
        option.shared = key;
        result.options.push_back(std::move(option));
    }
    result.proof.evaluated = evaluate.evaluated();
}

/// Above this cost nothing is in tolerance: one squared tolerance for each output, and what steps may cost on top.
double room_in_tolerance(const CornerProblem& problem) {
    double room = 0.1;
    for (const WantedOutput& wanted : problem.wanted) room += wanted.output.asked ? 1.0 : 0.0;
    return room;
}

/// Integer least squares over the linear model about a combination, its best tried on the nonlinear model, linearised
/// again at the winner until it repeats, then one and two adjusters a step away.
class LinearFirst {
public:
    /// `work`: for each of its options.
    LinearFirst(const CornerProblem& problem, const PlanOptions& options, std::uint64_t work, Proof& proof)
        : problem_(problem), options_(options), work_(work), proof_(proof), evaluate_(problem) {}

    /// The best with the shared stacks as given.
    std::optional<Option> best(const std::vector<std::size_t>& shared_unknown, const std::vector<std::size_t>& shared) {
        tried_.clear();
        left_ = work_ / 2;  // the other half is for the least work
        option_ = {};
        option_.shared = shared;
        ranges_.clear();
        for (const Unknown& unknown : problem_.unknowns)
            ranges_.push_back(unknown.shared_box.empty() ? all_of(unknown) : std::vector<std::size_t>{});
        for (std::size_t i = 0; i < shared.size(); ++i) ranges_[shared_unknown[i]] = {shared[i]};

        Combination about;
        for (std::size_t u = 0; u < ranges_.size(); ++u) {
            const auto& present = problem_.unknowns[u].present;
            about.push_back(ranges_[u].size() == 1 ? ranges_[u][0] : present.value_or(ranges_[u].size() / 2));
        }
        if (!closest_from(about)) return std::nullopt;
        if (spent()) proof_.proven = false;
        left_ += work_ / 2;
        least_work();
        return option_;
    }
    std::uint64_t evaluated() const { return evaluate_.evaluated(); }

private:
    using Ranges = std::vector<std::vector<std::size_t>>;
    struct Done {};

    struct Linear {
        MatrixXd A;
        VectorXd b;
        MatrixXd per_mm;  // of every wanted output, limits too
        std::vector<double> origin_mm;
    };

    static std::vector<std::size_t> all_of(const Unknown& unknown) {
        std::vector<std::size_t> all(unknown.settings.size());
        for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
        return all;
    }

    void spend(std::uint64_t work) { left_ -= std::min(left_, work); }
    bool spent() const { return left_ == 0; }

    const Candidate* attempt(const Combination& at) {
        const auto [place, is_new] = tried_.try_emplace(at);
        if (is_new) {
            spend(work_of_combination);
            place->second = evaluate_(at);
            if (place->second) offer(option_, *place->second);
        }
        return place->second ? &*place->second : nullptr;
    }

    /// Rows: (predicted - target)/tolerance of what is asked, then what steps cost; unknowns: mm from `about`.
    Linear linear_about(const Candidate& about) const {
        Setup setup = problem_.now;
        Linear linear;
        for (std::size_t u = 0; u < about.at.size(); ++u) {
            const Unknown& unknown = problem_.unknowns[u];
            linear.origin_mm.push_back(unknown.settings[about.at[u]].amount_mm);
            setup.amounts_mm[unknown.adjuster] = linear.origin_mm.back();
        }
        const Ground& ground = problem_.ground;
        const Rates r = rates(setup, ground.hold(), ground.held_value(), ground.frame);
        const auto count = static_cast<Index>(about.at.size());
        const auto asked = static_cast<Index>(problem_.wanted.size());
        linear.A = MatrixXd::Zero(asked + count, count);
        linear.b = VectorXd::Zero(asked + count);
        linear.per_mm.resize(asked, count);
        for (Index w = 0; w < asked; ++w) {
            const WantedOutput& wanted = problem_.wanted[static_cast<std::size_t>(w)];
            for (Index u = 0; u < count; ++u)
                linear.per_mm(w, u) =
                    r.per_mm[problem_.unknowns[static_cast<std::size_t>(u)].adjuster][wanted.output.id.index];
            if (!wanted.output.asked) continue;
            linear.b(w) = wanted.price * (*wanted.output.target.value - about.predicted[static_cast<std::size_t>(w)]);
            linear.A.row(w) = wanted.price * linear.per_mm.row(w);
        }
        for (Index u = 0; u < count; ++u) {
            const Unknown& unknown = problem_.unknowns[static_cast<std::size_t>(u)];
            linear.A(asked + u, u) = root_per_squared_step / unknown.step_mm;
            linear.b(asked + u) =
                -root_per_squared_step * unknown.settings[about.at[static_cast<std::size_t>(u)]].steps;
        }
        return linear;
    }

    /// The `count` best of the linear model within ranges, as combinations; `last_cost` of the last of them.
    std::vector<Combination> listed(const Linear& linear, const Ranges& ranges, std::size_t count, double& last_cost) {
        std::vector<AllowedValues> allowed;
        for (std::size_t u = 0; u < ranges.size(); ++u) {
            AllowedValues values;
            for (const std::size_t i : ranges[u])
                values.push_back(problem_.unknowns[u].settings[i].amount_mm - linear.origin_mm[u]);
            allowed.push_back(std::move(values));
        }
        const IntegerSearch found = integer_least_squares(linear.A, linear.b, allowed, count, left_);
        spend(found.nodes + static_cast<std::uint64_t>(work_of_list(static_cast<double>(ranges.size()))));
        proof_.proven = proof_.proven && found.proven;
        std::vector<Combination> combinations;
        for (const IntegerSolution& solution : found.best) {
            Combination at;
            for (std::size_t u = 0; u < ranges.size(); ++u) {
                const auto nearest =
                    std::lower_bound(allowed[u].begin(), allowed[u].end(), solution.x(static_cast<Index>(u)));
                at.push_back(ranges[u][static_cast<std::size_t>(nearest - allowed[u].begin())]);
            }
            combinations.push_back(std::move(at));
            last_cost = solution.cost;
        }
        return combinations;
    }

    /// False where nothing assembles.
    bool closest_from(const Combination& start) {
        const Candidate* about = attempt(start);
        if (!about) about = attempt_any();
        if (!about) return false;
        // Always at the best plan seen on the nonlinear model: costs only fall, so that it cannot go round in circles.
        for (int i = 0; i < most_linearisations && !spent(); ++i) {
            const Combination at = about->at;
            const Linear linear = linear_about(*about);
            for (std::size_t count = options_.linear_best;; count *= 8) {
                double last_cost = 0.0;
                const auto list = listed(linear, ranges_, count, last_cost);
                for (const Combination& c : list) attempt(c);
                if (!option_.closest.misses() || list.size() < count || count * 8 > most_listed) break;
                if (const auto nearest = nearest_to_limits(linear, *about)) {
                    for (const Combination& c : listed(linear, *nearest, count, last_cost)) attempt(c);
                    break;
                }
                if (spent()) break;
            }
            if (option_.closest.at == at) {
                try_neighbours(at);
                if (option_.closest.at == at) return true;
            }
            about = attempt(option_.closest.at);
        }
        proof_.proven = false;
        return true;
    }

    /// Where the linear model breaks a limit whatever is set: what matters to that limit set to break it least.
    std::optional<Ranges> nearest_to_limits(const Linear& linear, const Candidate& about) const {
        for (std::size_t w = 0; w < problem_.wanted.size(); ++w) {
            const Target& target = problem_.wanted[w].output.target;
            for (const auto& [limit, up] : {std::pair(target.least, 1.0), std::pair(target.most, -1.0)}) {
                if (!limit) continue;
                double short_by = up * (*limit - about.predicted[w]);
                Ranges nearest = ranges_;
                for (std::size_t u = 0; u < ranges_.size(); ++u) {
                    const double per_mm = up * linear.per_mm(static_cast<Index>(w), static_cast<Index>(u));
                    const auto gain = [&](std::size_t i) {
                        return per_mm * (problem_.unknowns[u].settings[i].amount_mm - linear.origin_mm[u]);
                    };
                    const std::size_t best = per_mm > 0.0 ? ranges_[u].back() : ranges_[u].front();
                    const std::size_t worst = per_mm > 0.0 ? ranges_[u].front() : ranges_[u].back();
                    short_by -= gain(best);
                    if (gain(best) - gain(worst) > matters_deg) nearest[u] = {best};
                }
                if (short_by > 0.0) return nearest;
            }
        }
        return std::nullopt;
    }

    const Candidate* attempt_any() {
        Combination at(ranges_.size());
        for (const double share : {0.5, 0.25, 0.75, 0.0, 1.0}) {
            for (std::size_t u = 0; u < at.size(); ++u)
                at[u] = ranges_[u][static_cast<std::size_t>(share * static_cast<double>(ranges_[u].size() - 1))];
            if (const Candidate* c = attempt(at)) return c;
        }
        return nullptr;
    }

    /// One step of one unknown, and of two at a time, each way.
    void try_neighbours(const Combination& at) {
        const auto moved = [&](Combination from, std::size_t u, int by) -> std::optional<Combination> {
            const std::size_t last = ranges_[u].back();
            if (ranges_[u].size() == 1 || (by < 0 && from[u] == ranges_[u].front()) || (by > 0 && from[u] == last))
                return std::nullopt;
            from[u] = by > 0 ? from[u] + 1 : from[u] - 1;
            return from;
        };
        const auto attempt_counted = [&](const Combination& c) {
            ++proof_.neighbours;
            attempt(c);
        };
        for (std::size_t u = 0; u < at.size() && !spent(); ++u)
            for (const int by : {-1, 1}) {
                const auto one = moved(at, u, by);
                if (!one) continue;
                attempt_counted(*one);
                for (std::size_t v = u + 1; v < at.size(); ++v)
                    for (const int also : {-1, 1})
                        if (const auto two = moved(*one, v, also)) attempt_counted(*two);
            }
    }

    /// For each set of unknowns that is touched, cheapest first: every plan of the linear model whose cost leaves room
    /// for being in tolerance, tried on the nonlinear model in order of cost.
    void least_work() {
        Ranges left, touched;
        std::vector<std::vector<double>> minutes;  // of leaving an unknown, and of touching it, where that can be
        for (std::size_t u = 0; u < ranges_.size(); ++u) {
            const auto& present = problem_.unknowns[u].present;
            for (Ranges* part : {&left, &touched}) {
                part->push_back(ranges_[u]);
                std::erase_if(part->back(), [&](std::size_t i) { return (i == present) == (part == &touched); });
            }
            minutes.emplace_back();
            for (const Ranges* part : {&left, &touched})
                if (!(*part)[u].empty())
                    minutes[u].push_back(problem_.unknowns[u].settings[(*part)[u].front()].minutes);
        }
        const Linear linear = linear_about(*attempt(option_.closest.at));
        int sets = 0;
        best_first<Done>(minutes, [&](const Ranks& at, double of_set) -> std::optional<Done> {
            if (option_.guarded && option_.guarded->minutes < of_set) return Done{};
            if (++sets > most_sets || spent()) {
                proof_.proven = false;
                return Done{};
            }
            Ranges ranges;
            for (std::size_t u = 0; u < at.size(); ++u)
                ranges.push_back(at[u] == 1 || left[u].empty() ? touched[u] : left[u]);
            within_set(linear, ranges);
            return std::nullopt;
        });
    }

    void within_set(const Linear& linear, const Ranges& ranges) {
        const double room = room_in_tolerance(problem_);
        for (std::size_t list = options_.linear_best;; list *= 8) {
            double last_cost = 0.0;
            const auto found = listed(linear, ranges, list, last_cost);
            bool guarded = false;
            for (const Combination& at : found) {
                const Candidate* c = attempt(at);
                guarded = guarded || (c && c->guarded);
            }
            if (guarded || found.size() < list || last_cost > room) return;
            if (list * 8 > most_listed || spent()) {
                proof_.proven = false;
                return;
            }
        }
    }

    const CornerProblem& problem_;
    const PlanOptions& options_;
    std::uint64_t work_;
    std::uint64_t left_ = 0;  // of the work
    Proof& proof_;
    Evaluator evaluate_;
    Ranges ranges_;
    Option option_;
    std::map<Combination, std::optional<Candidate>> tried_;
};

/// Lower bounds of the linear model's cost for each setting of one unknown, the others set to anything real: the dearer
/// of no limits at all, and each output for itself within all limits.
std::vector<double> least_costs(const CornerProblem& problem, std::size_t u) {
    const auto asked = static_cast<Index>(problem.wanted.size()), count = static_cast<Index>(problem.unknowns.size());
    MatrixXd A = MatrixXd::Zero(asked + count, count);
    VectorXd b = VectorXd::Zero(asked + count), least = b, most = b;
    for (Index w = 0; w < asked; ++w) {
        const WantedOutput& wanted = problem.wanted[static_cast<std::size_t>(w)];
        if (!wanted.output.asked) continue;
        A.row(w) = wanted.price * wanted.per_mm.transpose();
        b(w) = wanted.price * (*wanted.output.target.value - wanted.output.now);
    }
    const auto amount_mm = [&](Index v, const AllowedSetting& setting) {
        return setting.amount_mm - problem.now.amounts_mm[problem.unknowns[static_cast<std::size_t>(v)].adjuster];
    };
    for (Index v = 0; v < count; ++v) {
        const Unknown& unknown = problem.unknowns[static_cast<std::size_t>(v)];
        A(asked + v, v) = root_per_squared_step / unknown.step_mm;
        if (v == static_cast<Index>(u)) continue;
        const VectorXd first = A.col(v) * amount_mm(v, unknown.settings.front());
        const VectorXd last = A.col(v) * amount_mm(v, unknown.settings.back());
        least += first.cwiseMin(last);
        most += first.cwiseMax(last);
    }
    const VectorXd own = A.col(static_cast<Index>(u));
    MatrixXd others = A;
    others.col(static_cast<Index>(u)).setZero();
    others(asked + static_cast<Index>(u), static_cast<Index>(u)) = 1.0;  // a column of its own, which nothing asks for
    const auto left_over = [&](VectorXd of) {
        of(asked + static_cast<Index>(u)) = 0.0;
        return VectorXd(of - others * least_squares(others, of).x);
    };
    const VectorXd of_target = left_over(b), of_own = left_over(own);
    std::vector<double> costs;
    for (const AllowedSetting& setting : problem.unknowns[u].settings) {
        const double mm = amount_mm(static_cast<Index>(u), setting);
        const VectorXd wanted = b - mm * own;
        const VectorXd beyond = (wanted - most).head(asked).cwiseMax((least - wanted).head(asked)).cwiseMax(0.0);
        costs.push_back(std::max(beyond.squaredNorm(), (of_target - mm * of_own).squaredNorm()));
    }
    return costs;
}

/// The settings of the shared unknowns to try, each a list in their order: all, or where those are too many the same
/// number of each, of the linear model's best. What is left out and might be inside tolerance is a proof less.
std::vector<std::vector<std::size_t>> promising(const CornerProblem& problem, const std::vector<std::size_t>& shared,
                                                Proof& proof) {
    double all = 1.0;
    for (const std::size_t u : shared) all *= static_cast<double>(problem.unknowns[u].settings.size());
    const auto n = static_cast<double>(problem.unknowns.size());
    const double most = std::max(1.0, work_at_corner / (4.0 * (work_of_option + work_of_list(n) + 6.0 * n * n)));
    const double each = all <= most ? all : std::floor(std::pow(most, 1.0 / static_cast<double>(shared.size())));
    std::vector<std::vector<std::size_t>> lists = {{}};
    for (const std::size_t u : shared) {
        const std::vector<double> costs = least_costs(problem, u);
        std::vector<std::pair<double, std::size_t>> ranked;
        for (std::size_t i = 0; i < costs.size(); ++i) ranked.emplace_back(costs[i], i);
        std::sort(ranked.begin(), ranked.end());
        const auto count = std::min(ranked.size(), static_cast<std::size_t>(each));
        if (count < ranked.size() && ranked[count].first < room_in_tolerance(problem)) proof.proven = false;
        std::vector<std::vector<std::size_t>> longer;
        for (std::size_t r = 0; r < count; ++r)
            for (const std::vector<std::size_t>& list : lists) {
                longer.push_back(list);
                longer.back().push_back(ranked[r].second);
            }
        lists = std::move(longer);
    }
    return lists;
}

void linear_first(const CornerProblem& problem, const PlanOptions& options, CornerSearch& result) {
    const std::vector<std::size_t> shared = shared_unknowns(problem);
    const std::vector<std::vector<std::size_t>> all = promising(problem, shared, result.proof);
    LinearFirst linear(problem, options, work_at_corner / all.size(), result.proof);
    for (const std::vector<std::size_t>& settings : all)
        if (auto option = linear.best(shared, settings)) result.options.push_back(std::move(*option));
    result.proof.evaluated = linear.evaluated();
}

}  // namespace

std::vector<std::size_t> shared_unknowns(const CornerProblem& problem) {
    std::vector<std::size_t> shared;
    for (std::size_t u = 0; u < problem.unknowns.size(); ++u)
        if (!problem.unknowns[u].shared_box.empty()) shared.push_back(u);
    return shared;
}

CornerSearch search(const CornerProblem& problem, const PlanOptions& options) {
    CornerSearch result;
    const double combinations = problem.combinations();
    result.proof.combinations = static_cast<std::uint64_t>(std::min(combinations, most_combinations));
    Combination present;
    for (const Unknown& unknown : problem.unknowns)
        if (unknown.present) present.push_back(*unknown.present);
    if (present.size() == problem.unknowns.size()) result.nothing = Evaluator(problem)(present);
    if (combinations < 1.0) return result;
    if (combinations <= options.enumerate_at_most) {
        enumerate(problem, result);
    } else {
        result.proof.on = EvaluatedOn::linear_model_first;
        linear_first(problem, options, result);
    }
    std::stable_sort(result.options.begin(), result.options.end(),
                     [](const Option& a, const Option& b) { return nearer(a.closest, b.closest); });
    return result;
}

}  // namespace shimwise
