// The next reading's covariance, worked out by the tests: what the car reads with every adjuster a little off is the
// nonlinear car's.
#pragma once

#include "workshop/choose/plan_cases.hpp"

namespace shimwise {

/// Fewest shims that go in or out of a pack between two totals: every subset of what is fitted and in the box is tried.
inline int fewest_moved(const std::vector<double>& fitted, const std::vector<double>& box, double total) {
    int fewest = 1000;
    for (std::size_t set = 0; set < (std::size_t{1} << (fitted.size() + box.size())); ++set) {
        double sum = 0.0;
        int moved = 0;
        for (std::size_t i = 0; i < fitted.size() + box.size(); ++i) {
            const bool in = (set >> i & 1) != 0;
            sum += !in ? 0.0 : i < fitted.size() ? fitted[i] : box[i - fitted.size()];
            moved += in != (i < fitted.size()) ? 1 : 0;
        }
        if (std::fabs(sum - total) < 1e-9) fewest = std::min(fewest, moved);
    }
    return fewest;
}

/// What comes anew with both readings, what a hand misses, what shims are off, and what the model is off of a change.
inline Eigen::MatrixXd scatter_after(const AtRest& at_rest, const Car& before, const Car& after,
                                     const std::vector<ValueId>& ids, double model_share) {
    const auto n = static_cast<Eigen::Index>(ids.size());
    Eigen::MatrixXd all(n, n);
    for (Eigen::Index i = 0; i < n; ++i)
        for (Eigen::Index k = 0; k < n; ++k)
            all(i, k) = 2.0 * at_rest.measured.repeat_covariance(
                                  static_cast<Eigen::Index>(*at_rest.measured.find(ids[static_cast<std::size_t>(i)])),
                                  static_cast<Eigen::Index>(*at_rest.measured.find(ids[static_cast<std::size_t>(k)])));
    for (const CornerId id : all_corners)
        for (std::size_t a = 0; a < after[id].adjusters.size(); ++a) {
            const Adjuster &was = before[id].adjusters[a], &is = after[id].adjusters[a];
            const double change_mm = is.amount_mm() - was.amount_mm();
            if (std::fabs(change_mm) < 1e-12) continue;
            double missed_mm2 = std::pow(model_share * change_mm, 2);
            if (const Thread* thread = is.thread())
                missed_mm2 += std::pow(thread->settable_turns * thread->lead_mm(), 2);
            else
                missed_mm2 +=
                    fewest_moved(was.stack()->fitted_mm, before.box_mm(*was.stack()), is.stack()->total_mm()) *
                    std::pow(is.stack()->thickness_uncertainty_mm, 2);
            const auto read_with = [&](double off_mm) {
                Car car = after;
                Adjuster& adjuster = car[id].adjusters[a];
                if (auto* thread = std::get_if<Thread>(&adjuster.setting))
                    thread->now_turns += off_mm / thread->lead_mm();
                else
                    std::get<Stack>(adjuster.setting).fitted_mm = {is.stack()->total_mm() + off_mm};
                return row(at_rest.of(car), ids);
            };
            const std::vector<double> up = read_with(0.01), down = read_with(-0.01);
            Eigen::VectorXd per_mm(n);
            for (Eigen::Index i = 0; i < n; ++i)
                per_mm(i) = (up[static_cast<std::size_t>(i)] - down[static_cast<std::size_t>(i)]) / 0.02;
            all += missed_mm2 * per_mm * per_mm.transpose();
        }
    return all;
}

}  // namespace shimwise
