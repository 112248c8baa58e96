#include "workshop/choose/least_work.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "shimwise/math/fewest_touched.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "workshop/choose/next_reading.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr std::uint64_t set_nodes = 20'000;
constexpr int most_asked = 150;     // sets that are planned on the nonlinear car
constexpr double preferred = 1e-6;  // of its minutes: of equal plans the one that turns what is preferred
constexpr std::size_t listed_of_a_set = 4;
constexpr std::uint64_t nodes_of_a_set = 20'000;
constexpr double accuracy = 1e-3;       // of a chance
constexpr double room_for_steps = 0.1;  // of a cost: what a hundred steps each way of ten adjusters cost

double chance_of(double mean, double deviation, double lower, double upper) {
    return probability_in_box(VectorXd::Constant(1, mean), Eigen::MatrixXd::Constant(1, 1, deviation * deviation),
                              VectorXd::Constant(1, lower), VectorXd::Constant(1, upper))
        .value;
}

/// Ends of a window in which a value by itself has at least this chance. By halving: the chance falls from the middle.
std::pair<double, double> window(double lower, double upper, double deviation, double least) {
    if (!(deviation > 0.0) || !(least > 0.0)) return {lower, upper};
    const bool two = std::isfinite(lower) && std::isfinite(upper);
    const auto inward = [&](double end, double inner) {
        if (chance_of(inner, deviation, lower, upper) < least) return inner;
        double out = end, in = inner;
        for (int i = 0; i < 40; ++i) {
            const double mid = 0.5 * (out + in);
            (chance_of(mid, deviation, lower, upper) >= least ? in : out) = mid;
        }
        return out;
    };
    const double reach = 10.0 * deviation, middle = 0.5 * (lower + upper);
    return {std::isfinite(lower) ? inward(lower, two ? middle : lower + reach) : lower,
            std::isfinite(upper) ? inward(upper, two ? middle : upper - reach) : upper};
}

class Work {
public:
    Work(WholeProblem& problem, const WholeLinear& linear, WholePlan inside, double chance, double model_share)
        : problem_(problem),
          linear_(linear),
          least_chance_(near_enough(chance)),
          model_share_(model_share),
          lists_(problem.allowed()),
          best_(std::move(inside)) {}

    LeastWork found() {
        if (lists_.empty()) return {best_, true};
        const auto rows = static_cast<Index>(problem_.wanted().size());
        VectorXd low(rows), high(rows);
        windows(low, high);
        inside_ = linear_.conditions;
        inside_.below = most_cost(low, high);
        low_ = low - linear_.then_0;
        high_ = high - linear_.then_0;
        VectorXd price = problem_.minutes();
        for (Index m = 0; m < price.size(); ++m)
            if (problem_.movables().all[static_cast<std::size_t>(m)].preferred) price(m) *= 1.0 - preferred;
        const FirstTouchedSet set = first_touched_set(
            linear_.effect, low_, high_, lists_, price,
            [this](const std::vector<Index>& touched) { return enough(touched); }, set_nodes);
        const bool proven = set.proven && asked_ <= most_asked;
        if (!proven) do_without();
        return {plan_.value_or(best_), proven};
    }

private:
    /// Between which every value must be predicted, widened by what the linear model was off.
    void windows(VectorXd& low, VectorXd& high) const {
        const WholePlan* nothing = problem_.plan(problem_.present());
        const NextReading least = next_reading(problem_, linear_, nothing ? *nothing : best_, 0.0);
        const VectorXd off = best_.then - linear_.then_0 - linear_.effect * problem_.steps(best_.at);
        for (std::size_t w = 0; w < problem_.wanted().size(); ++w) {
            const Wanted& one = problem_.wanted()[w];
            const auto i = static_cast<Index>(w);
            low(i) = one.low;
            high(i) = one.high;
            if (one.is_target() && one.target.value) {
                low(i) = std::max(low(i), *one.target.value - one.target.tolerance);
                high(i) = std::min(high(i), *one.target.value + one.target.tolerance);
            }
            for (std::size_t n = 0; n < least.ids.size(); ++n)
                if (least.ids[n] == one.id) {
                    const auto k = static_cast<Index>(n);
                    std::tie(low(i), high(i)) =
                        window(low(i), high(i), std::sqrt(least.covariance(k, k)), least_chance_);
                }
            const double slack = std::max(1e-9 * one.scale, 2.0 * std::fabs(off(i)) + 0.02 * one.scale);
            low(i) -= slack;
            high(i) += slack;
        }
    }

    /// What a plan in the corner of all windows costs: above that nothing is inside.
    double most_cost(const VectorXd& low, const VectorXd& high) const {
        double cost = room_for_steps;
        for (std::size_t w = 0; w < problem_.wanted().size(); ++w) {
            const Wanted& one = problem_.wanted()[w];
            const auto i = static_cast<Index>(w);
            if (!one.in_cost()) continue;
            const double off = std::max(*one.aim - low(i), high(i) - *one.aim) / one.aim_tolerance;
            cost += off * off;
        }
        return cost;
    }

    bool enough(const std::vector<Index>& touched) {
        double minutes = 0.0;
        for (const Index m : touched) minutes += problem_.movables().all[static_cast<std::size_t>(m)].minutes;
        if (minutes >= best_.minutes) return true;  // the closest plan takes no longer
        if (++asked_ > most_asked) return true;
        plan_ = as_likely(touched);
        return plan_.has_value();
    }

    /// Where the search was ended early: what the plan does as well without, one by one, each time the best of all that
    /// are left.
    void do_without() {
        for (bool any = true; any;) {
            any = false;
            const WholePlan from = plan_.value_or(best_);
            std::vector<Index> touched;
            for (std::size_t m = 0; m < from.at.size(); ++m)
                if (problem_.movables().all[m].present != from.at[m]) touched.push_back(static_cast<Index>(m));
            for (std::size_t i = 0; i < touched.size(); ++i) {
                if (!problem_.movables().all[static_cast<std::size_t>(touched[i])].present) continue;  // it cannot stay
                std::vector<Index> others = touched;
                others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
                const auto plan = as_likely(others);
                if (!plan) continue;
                const bool better = !any || plan->minutes < plan_->minutes ||
                                    (plan->minutes == plan_->minutes && plan->cost < plan_->cost);
                if (better) plan_ = plan;
                any = true;
            }
        }
    }

    /// The closest plan that touches no others, where it is as likely to pass.
    std::optional<WholePlan> as_likely(const std::vector<Index>& touched) {
        std::vector<AllowedValues> lists;
        for (std::size_t m = 0; m < lists_.size(); ++m) {
            const bool may = std::find(touched.begin(), touched.end(), static_cast<Index>(m)) != touched.end();
            lists.push_back(may ? lists_[m] : AllowedValues{0.0});
        }
        const IntegerSearch listed =
            integer_least_squares(linear_.A, linear_.b, lists, listed_of_a_set, nodes_of_a_set, inside_);
        for (const IntegerSolution& one : listed.best) {
            if (!in_windows(one.x)) continue;
            if (const WholePlan* plan = problem_.plan(problem_.combination(one.x)); plan && good(*plan)) return *plan;
        }
        return std::nullopt;
    }

    bool in_windows(const VectorXd& x) const {
        const VectorXd by = linear_.effect * x;
        return (by.array() >= low_.array()).all() && (by.array() <= high_.array()).all();
    }

    bool good(const WholePlan& plan) const {
        if (!plan.within || plan.misses > best_.misses) return false;
        const NextReading next = next_reading(problem_, linear_, plan, model_share_);
        for (Index i = 0; i < next.predicted.size(); ++i)  // all together are no likelier than one
            if (!(chance_of(next.predicted(i), std::sqrt(next.covariance(i, i)), next.lower(i), next.upper(i)) >=
                  least_chance_))
                return false;
        const BoxProbability chance =
            probability_in_box(next.predicted, next.covariance, next.lower, next.upper, accuracy);
        return chance.value >= least_chance_;
    }

    WholeProblem& problem_;
    const WholeLinear& linear_;
    double least_chance_;
    double model_share_;
    std::vector<AllowedValues> lists_;
    IntegerConditions inside_;
    VectorXd low_, high_;  // by how much a value may change, for the sets and their plans
    WholePlan best_;
    std::optional<WholePlan> plan_;
    int asked_ = 0;
};

}  // namespace

LeastWork least_work(WholeProblem& problem, const WholeLinear& linear, const WholePlan& inside, double chance,
                     double model_share) {
    return Work(problem, linear, inside, chance, model_share).found();
}

}  // namespace shimwise
