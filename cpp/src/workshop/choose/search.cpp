#include "workshop/choose/search.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "shimwise/math/integer_least_squares.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double root_per_squared_step = 1e-3;  // root of what a squared step costs
constexpr std::uint64_t node_limit = 2'000'000;
constexpr std::size_t most_listed = 12'800;
constexpr int most_linearisations = 30;

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

/// Integer least squares over the linear model about a combination, its best tried on the nonlinear model, linearised
/// again at the winner until it repeats, then one and two adjusters a step away.
class LinearFirst {
public:
    LinearFirst(const CornerProblem& problem, const PlanOptions& options, Proof& proof)
        : problem_(problem), options_(options), proof_(proof), evaluate_(problem) {}

    /// The best with the shared stacks as given.
    std::optional<Option> best(const std::vector<std::size_t>& shared_unknown, const std::vector<std::size_t>& shared) {
        tried_.clear();
        option_ = {};
        option_.shared = shared;
        ranges_.clear();
        for (const Unknown& unknown : problem_.unknowns) ranges_.push_back(all_of(unknown));
        for (std::size_t i = 0; i < shared.size(); ++i) ranges_[shared_unknown[i]] = {shared[i]};

        Combination about;
        for (std::size_t u = 0; u < ranges_.size(); ++u) {
            const auto& present = problem_.unknowns[u].present;
            about.push_back(ranges_[u].size() == 1 ? ranges_[u][0] : present.value_or(ranges_[u].size() / 2));
        }
        if (!closest_from(about)) return std::nullopt;
        least_work();
        return option_;
    }
    std::uint64_t evaluated() const { return evaluate_.evaluated(); }

private:
    using Ranges = std::vector<std::vector<std::size_t>>;

    struct Linear {
        MatrixXd A;
        VectorXd b;
        std::vector<double> origin_mm;
    };

    static std::vector<std::size_t> all_of(const Unknown& unknown) {
        std::vector<std::size_t> all(unknown.settings.size());
        for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
        return all;
    }

    const Candidate* attempt(const Combination& at) {
        const auto [place, is_new] = tried_.try_emplace(at);
        if (is_new) {
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
        for (Index w = 0; w < asked; ++w) {
            const WantedOutput& wanted = problem_.wanted[static_cast<std::size_t>(w)];
            if (!wanted.output.asked) continue;
            linear.b(w) = wanted.price * (*wanted.output.target.value - about.predicted[static_cast<std::size_t>(w)]);
            for (Index u = 0; u < count; ++u)
                linear.A(w, u) =
                    wanted.price *
                    r.per_mm[problem_.unknowns[static_cast<std::size_t>(u)].adjuster][index(wanted.output.output)];
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
        const IntegerSearch found = integer_least_squares(linear.A, linear.b, allowed, count, node_limit);
        proof_.proven = proof_.proven && found.proven;
        std::vector<Combination> combinations;
        for (const IntegerSolution& solution : found.best) {
            Combination at;
            for (std::size_t u = 0; u < ranges.size(); ++u) {
                const auto nearest = std::min_element(allowed[u].begin(), allowed[u].end(), [&](double p, double q) {
                    const double x = solution.x(static_cast<Index>(u));
                    return std::fabs(p - x) < std::fabs(q - x);
                });
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
        for (int i = 0; i < most_linearisations; ++i) {
            const Combination at = about->at;
            const Linear linear = linear_about(*about);
            for (std::size_t count = options_.linear_best;; count *= 8) {
                double last_cost = 0.0;
                const auto list = listed(linear, ranges_, count, last_cost);
                for (const Combination& c : list) attempt(c);
                if (option_.closest.violation == 0.0 || list.size() < count || count * 8 > most_listed) break;
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
        for (std::size_t u = 0; u < at.size(); ++u)
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
        const std::size_t count = problem_.unknowns.size();
        struct Touched {
            double minutes = 0.0;
            Ranges ranges;
        };
        std::vector<Touched> sets;
        for (std::size_t set = 0; set < std::size_t{1} << count; ++set) {
            Touched touched{0.0, ranges_};
            bool possible = true;
            for (std::size_t u = 0; u < count && possible; ++u) {
                const Unknown& unknown = problem_.unknowns[u];
                const bool touch = (set >> u & 1) != 0;
                std::vector<std::size_t>& range = touched.ranges[u];
                if (touch)
                    std::erase_if(range, [&](std::size_t i) { return i == unknown.present; });
                else
                    std::erase_if(range, [&](std::size_t i) { return i != unknown.present; });
                possible = !range.empty();
                if (possible) touched.minutes += unknown.settings[range.front()].minutes;
            }
            if (possible) sets.push_back(std::move(touched));
        }
        std::stable_sort(sets.begin(), sets.end(),
                         [](const Touched& a, const Touched& b) { return a.minutes < b.minutes; });
        const Linear linear = linear_about(*attempt(option_.closest.at));
        double room = 0.1;  // what steps may cost on top of one squared tolerance for each output
        for (const WantedOutput& wanted : problem_.wanted) room += wanted.output.asked ? 1.0 : 0.0;
        for (const Touched& touched : sets) {
            if (option_.guarded && option_.guarded->minutes < touched.minutes) return;
            for (std::size_t list = options_.linear_best;; list *= 8) {
                double last_cost = 0.0;
                const auto found = listed(linear, touched.ranges, list, last_cost);
                bool guarded = false;
                for (const Combination& at : found) {
                    const Candidate* c = attempt(at);
                    guarded = guarded || (c && c->guarded);
                }
                if (guarded || found.size() < list || last_cost > room) break;
                if (list * 8 > most_listed) {
                    proof_.proven = false;
                    break;
                }
            }
        }
    }

    const CornerProblem& problem_;
    const PlanOptions& options_;
    Proof& proof_;
    Evaluator evaluate_;
    Ranges ranges_;
    Option option_;
    std::map<Combination, std::optional<Candidate>> tried_;
};

void linear_first(const CornerProblem& problem, const PlanOptions& options, CornerSearch& result) {
    const std::vector<std::size_t> shared = shared_unknowns(problem);
    LinearFirst linear(problem, options, result.proof);
    std::vector<std::size_t> settings(shared.size(), 0);
    for (bool more = true; more;) {
        if (auto option = linear.best(shared, settings)) result.options.push_back(std::move(*option));
        more = false;
        for (std::size_t i = 0; i < shared.size() && !more; ++i) {
            more = ++settings[i] < problem.unknowns[shared[i]].settings.size();
            if (!more) settings[i] = 0;
        }
    }
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
    result.proof.combinations = static_cast<std::uint64_t>(combinations);
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
