#include "workshop/choose/linear_plan.hpp"

#include <algorithm>
#include <cmath>

#include "math/decompositions.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {

using Eigen::Index;
using Eigen::VectorXd;

namespace {

constexpr double no_effect = 1e-3;  // of the largest: what hardly moves cannot be set by it
constexpr double left_off = 0.1;    // of a tolerance

}  // namespace

LinearPlan linear_plan(const WholeProblem& planned, const std::vector<PlannedSetting>& settings, const Part& part,
                       const Selection& selection, HeldCar& held) {
    const Car& car = planned.car();
    Part all = part;
    for (const OfPurpose& of : part.held) Selection::add(all.turned, of.places);
    Selection::add(all.turned, selection.forbid);
    WholeProblem problem(car, planned.measured(), held, movables(car, all.turned, selection.tie, selection.force),
                         part.wanted, {});
    LinearPlan linear;
    const Combination at = problem.with(settings);
    if (!problem.plan(at)) return linear;
    const WholeLinear about = problem.linear_about(at, VectorXd::Zero(static_cast<Index>(part.wanted.size())));
    const auto rows = static_cast<Index>(part.wanted.size());
    linear.then_0 = about.then_0;
    linear.effect = about.effect;
    linear.lower.resize(rows);
    linear.upper.resize(rows);
    linear.scale.resize(rows);
    for (Index w = 0; w < rows; ++w) {
        const Wanted& one = part.wanted[static_cast<std::size_t>(w)];
        linear.ids.push_back(one.id);
        const Wanted ends = one.in_cost() ? as_limit(one) : one;
        linear.lower(w) = ends.low;
        linear.upper(w) = ends.high;
        linear.scale(w) = one.scale;
    }
    for (const Movable& one : problem.movables().all) {
        const AdjusterPlace& place = one.places.front();
        const Adjuster& adjuster = car[place.corner].adjusters[place.adjuster];
        linear.keys.push_back(adjuster_key(place.corner, adjuster.name));
        linear.purposes.push_back(adjuster.purpose);
        linear.allowed.push_back(one.steps);
        linear.held.push_back(!Selection::holds(part.turned, place));
        linear.forbidden.push_back(Selection::holds(selection.forbid, place));
    }
    const auto lengths = static_cast<Index>(problem.movables().lengths.size());
    linear.lengths = about.conditions.rows.bottomRows(lengths);
    linear.length_low = about.conditions.low.tail(lengths);
    linear.length_high = about.conditions.high.tail(lengths);
    return linear;
}

std::string impossible_words(const LinearPlan& linear, const std::vector<Wanted>& wanted) {
    std::vector<Index> rows;
    for (std::size_t w = 0; w < linear.ids.size(); ++w)
        if (wanted[w].is_target() && wanted[w].target.value) rows.push_back(static_cast<Index>(w));
    if (rows.empty() || linear.effect.cols() == 0) return "";
    const VectorXd per = linear.scale(rows).cwiseInverse();
    VectorXd missing(static_cast<Index>(rows.size()));
    for (std::size_t r = 0; r < rows.size(); ++r)
        missing(static_cast<Index>(r)) =
            *wanted[static_cast<std::size_t>(rows[r])].target.value - linear.then_0(rows[r]);
    std::vector<Index> columns;
    for (std::size_t m = 0; m < linear.forbidden.size(); ++m)
        if (!linear.forbidden[m]) columns.push_back(static_cast<Index>(m));
    const Eigen::MatrixXd effect = per.asDiagonal() * linear.effect(rows, columns);
    const VectorXd scaled = per.cwiseProduct(missing);
    const VectorXd left = scaled - effect * shortest(effect, scaled, no_effect);
    if (!(left.cwiseAbs().maxCoeff() > 1.0)) return "";
    std::vector<std::string> names, remains;
    for (std::size_t r = 0; r < rows.size(); ++r) {
        const double off = left(static_cast<Index>(r));
        if (!(std::fabs(off) > left_off)) continue;
        const ValueId& id = linear.ids[static_cast<std::size_t>(rows[r])];
        names.push_back(key(id));
        remains.push_back(fixed_words(std::fabs(off) * linear.scale(rows[r]), 2) + " " + std::string(info(id).unit) +
                          " of " + key(id));
    }
    return listed_words(names) + (names.size() == 1 ? " cannot be met" : " cannot be met together") +
           ", whatever is turned: " + listed_words(remains) + (remains.size() == 1 ? " remains." : " remain.");
}

}  // namespace shimwise
