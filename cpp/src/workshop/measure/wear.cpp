#include "shimwise/workshop/measure/wear.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "files/shown.hpp"
#include "shimwise/error.hpp"
#include "workshop/measure/skid_heights.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using files::shown;

constexpr double share = 0.95;
constexpr double per_km = 100.0;     // of a rate
constexpr double differ_mm = 0.5;    // ride heights that are not the same: common practice, no source
constexpr double farthest_km = 1e5;  // that can be asked for
constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();  // of a ride height
constexpr const char* under_the_skid = "under the skid";

/// Of one skid at one point: how far it had run at each reading since its first one, and what was read.
struct History {
    std::vector<double> run_km, thickness_mm;
    std::vector<std::size_t> check;  // which check of the skid
    double now_km = 0.0;             // at the last check of the file, whether this point was read then or not
};

/// A ride height at every check of the skid, as the car runs from there on.
struct Heights {
    std::string name;
    std::vector<double> mm;
};

/// The columns that thickness is fitted to, and the rows of now and of a further km, in the same columns.
struct Model {
    MatrixXd columns;
    VectorXd now, per_km;
};

Estimate estimate(double value, double u, const Scatter& scatter) {
    const double wide = scatter.factor(share) * u;
    return {value, u, value - wide, value + wide};
}

/// Of a coefficient of the fit times `times`.
Estimate coefficient(const LinearFit& fit, const Scatter& scatter, Index at, double times) {
    const double u = scatter.standard * std::sqrt(fit.cofactor(at, at));
    return estimate(times * fit.x(at), std::abs(times) * u, scatter);
}

/// What is known of the scatter: the wider of what the residuals show and of what the gauge does alone, since no
/// reading scatters less than its gauge.
Scatter scatter_of(const LinearFit& fit, double gauge_mm) {
    const Scatter gauge{gauge_mm};
    if (fit.degrees_of_freedom == 0) return gauge;
    const Scatter seen = scatter_shown(fit);
    const auto half_width = [](const Scatter& of) { return of.factor(share) * of.standard; };
    return half_width(seen) > half_width(gauge) ? seen : gauge;
}

/// `root` beside `from`, where what is fitted can only lead upward (`beyond`) or only downward: of two open ends the
/// one on that side. `leads`: whether the fit itself does.
Reached reached(const Root& root, double from, bool beyond, bool leads) {
    const auto place = [&](double at) { return std::isfinite(at) ? std::optional(from + at) : std::nullopt; };
    Reached found;
    if (leads) found.value = place(root.at);
    const bool open = root.known == Root::Known::outside;
    if (root.known == Root::Known::between || root.known == Root::Known::from) found.low = place(root.low);
    if (root.known == Root::Known::between || root.known == Root::Known::to) found.high = place(root.high);
    if (open && beyond) found.low = place(root.high);
    if (open && !beyond) found.high = place(root.low);
    return found;
}

/// As the model says at the ride height of now: column 1 is the distance.
Outlook outlook(const Skid& skid, const LinearFit& fit, const Scatter& scatter, const Model& model, double next_km) {
    Outlook seen;
    seen.wear_mm_per_100_km = coefficient(fit, scatter, 1, -per_km);
    const Predicted next = predict(fit, scatter, model.now + next_km * model.per_km);
    seen.after_next_mm = estimate(next.mean, next.single_u, scatter);
    seen.chance_under = scatter.below((skid.least_mm - next.mean) / next.single_u);
    const Root root = reaches(fit, scatter, model.now, model.per_km, skid.least_mm, share);
    seen.left_km = reached(root, 0.0, model.now.dot(fit.x) >= skid.least_mm, fit.x(1) < 0.0);
    return seen;
}

Model over_distance(const History& history) {
    const auto n = static_cast<Index>(history.run_km.size());
    Model model{MatrixXd(n, 2), Eigen::Vector2d(1.0, history.now_km), Eigen::Vector2d(0.0, 1.0)};
    model.columns << VectorXd::Ones(n), Eigen::Map<const VectorXd>(history.run_km.data(), n);
    return model;
}

class Reducer {
public:
    Reducer(const Skid& skid, const WearAsked& asked, const Car* car) : skid_(skid), asked_(asked), car_(car) {}

    Wear all() {
        demand_asked();
        const auto is_new = [](const SkidCheck& check) { return check.fresh; };
        const auto last_new = std::find_if(skid_.checks.rbegin(), skid_.checks.rend(), is_new);
        const auto first = last_new == skid_.checks.rend() ? skid_.checks.begin() : std::prev(last_new.base());
        checks_.assign(first, skid_.checks.end());
        wear_.now_km = checks_.back().distance_km;
        wear_.next_km = asked_.next_km ? *asked_.next_km : last_run_km();
        if (const auto before = first - skid_.checks.begin(); before > 0)
            wear_.notes.push_back(std::to_string(before) + (before == 1 ? " check" : " checks") +
                                  " of an earlier skid left out.");
        for (const SkidPoint& point : skid_.points) wear_.points.push_back(of_point(point));
        demand_a_rate();
        return std::move(wear_);
    }

private:
    void demand_asked() const {
        std::vector<Problem> problems;
        const auto demand = [&](const char* name, const std::optional<double>& km) {
            if (km && !(*km > 0.0 && *km <= farthest_km))
                problems.push_back(
                    {"", 0, 0, name, shown(*km), "must be more than 0 and no more than " + shown(farthest_km) + " km"});
        };
        demand("next_km", asked_.next_km);
        demand("lasts_km", asked_.lasts_km);
        if (!problems.empty()) throw InputError(std::move(problems));
    }

    double last_run_km() const {
        for (std::size_t i = checks_.size() - 1; i > 0; --i)
            if (const double run_km = checks_[i].distance_km - checks_[i - 1].distance_km; run_km > 0.0) return run_km;
        return 0.0;
    }

    History history_of(const SkidPoint& point) const {
        History history;
        double first_km = 0.0;
        for (std::size_t i = 0; i < checks_.size(); ++i) {
            const auto read = checks_[i].thickness_mm.find(point.name);
            if (read == checks_[i].thickness_mm.end()) continue;
            if (history.check.empty()) first_km = checks_[i].distance_km;
            history.run_km.push_back(checks_[i].distance_km - first_km);
            history.thickness_mm.push_back(read->second);
            history.check.push_back(i);
        }
        history.now_km = checks_.back().distance_km - first_km;
        return history;
    }

    PointWear of_point(const SkidPoint& point) {
        const History history = history_of(point);
        PointWear of;
        of.point = point.name;
        of.checks = history.check.size();
        const std::set<double> places(history.run_km.begin(), history.run_km.end());
        of.runs = places.empty() ? 0 : places.size() - 1;
        if (history.check.empty()) {
            of.refused = "was not read of this skid";
            return of;
        }
        of.last_mm = history.thickness_mm.back();
        of.worn_mm = skid_.new_mm - of.last_mm;
        add_gap(point, history, of);
        if (of.runs == 0)
            of.refused = "was read at one distance alone: a rate needs runs between the checks";
        else if (of.runs == 1 && !asked_.gauge_alone)
            of.refused =
                "one run alone is no rate: it does not show how unevenly the skid wears, a third check does "
                "(or take the gauge's uncertainty alone, which says too little)";
        else
            add_line(point, history, of);
        return of;
    }

    void add_line(const SkidPoint& point, const History& history, PointWear& of) {
        const auto n = static_cast<Index>(history.run_km.size());
        const Eigen::Map<const VectorXd> thickness(history.thickness_mm.data(), n);
        const Model model = over_distance(history);
        const LinearFit fit = linear_fit(model.columns, thickness);
        of.scatter = scatter_of(fit, skid_.gauge_uncertainty_mm);
        const Outlook seen = outlook(skid_, fit, of.scatter, model, wear_.next_km);
        if (!(seen.wear_mm_per_100_km.high >= 0.0)) {
            of.refused = "grows by " + shown(-seen.wear_mm_per_100_km.value) +
                         " mm in 100 km, beyond its uncertainty: no skid does (new = true where it was changed)";
            return;
        }
        of.outlook = seen;
        for (const Heights& heights : heights_of(point, history))
            if (auto by = by_height(of, history, thickness, heights)) of.by_height.push_back(*by);
    }

    std::optional<WearByHeight> by_height(const PointWear& of, const History& history, const VectorXd& thickness,
                                          const Heights& heights) {
        WearByHeight by;
        by.height = heights.name;
        by.now_mm = heights.mm.back();
        // Since the first reading, the sum over runs of their length times their height over that of now.
        std::vector<double> higher(checks_.size(), 0.0);
        by.lowest_mm = infinity;
        by.highest_mm = -infinity;
        for (std::size_t i = history.check.front() + 1; i < checks_.size(); ++i) {
            const double run_km = checks_[i].distance_km - checks_[i - 1].distance_km;
            higher[i] = higher[i - 1] + run_km * (heights.mm[i - 1] - by.now_mm);
            if (run_km == 0.0 || i > history.check.back()) continue;
            by.lowest_mm = std::min(by.lowest_mm, heights.mm[i - 1]);
            by.highest_mm = std::max(by.highest_mm, heights.mm[i - 1]);
        }
        if (!(by.highest_mm - by.lowest_mm >= differ_mm)) return std::nullopt;
        const auto n = thickness.size();
        Model model{MatrixXd(n, 3), Eigen::Vector3d(1.0, history.now_km, higher.back()),
                    Eigen::Vector3d(0.0, 1.0, 0.0)};
        for (Index i = 0; i < n; ++i) {
            const auto at = static_cast<std::size_t>(i);
            model.columns.row(i) << 1.0, history.run_km[at], higher[history.check[at]];
        }
        // Two runs fit any rate and any effect of height: a third shows the unevenness, as a second does of the rate.
        const std::size_t needed = asked_.gauge_alone ? 2 : 3;
        if (of.runs < needed || !independent(model.columns)) {
            wear_.notes.push_back(of.point +
                                  ": runs were at different ride heights, and too few checks tell what that " +
                                  "does. The line takes them as alike.");
            return std::nullopt;
        }
        const LinearFit fit = linear_fit(model.columns, thickness);
        const Scatter scatter = scatter_of(fit, skid_.gauge_uncertainty_mm);
        by.outlook = outlook(skid_, fit, scatter, model, wear_.next_km);
        by.less_mm_per_100_km = coefficient(fit, scatter, 2, per_km);
        if (asked_.lasts_km) {
            const VectorXd then = model.now + *asked_.lasts_km * model.per_km;
            const VectorXd a_mm_higher = Eigen::Vector3d(0.0, 0.0, *asked_.lasts_km);
            const Root root = reaches(fit, scatter, then, a_mm_higher, skid_.least_mm, share);
            by.lasts_mm = reached(root, by.now_mm, then.dot(fit.x) < skid_.least_mm, fit.x(2) > 0.0);
        }
        return by;
    }

    /// Heights that change with distance in another way than evenly: between readings of this point.
    static bool independent(const MatrixXd& columns) {
        const LinearFit line = linear_fit(columns.leftCols(2), columns.col(2));
        return line.residual.norm() > 1e-9 * columns.col(2).norm();
    }

    /// Those that are known at every check from the first reading on: under the skid by the car, else each by its name.
    std::vector<Heights> heights_of(const SkidPoint& point, const History& history) {
        std::vector<Heights> all;
        if (car_) {
            Heights here{under_the_skid, {}};
            for (const SkidCheck& check : checks_)
                here.mm.push_back(height_of_new_skid_mm(skid_, check, point, *car_).value_or(unknown));
            all.push_back(std::move(here));
        } else {
            for (const auto& [name, mm] : checks_.back().ride_height_mm) {
                Heights one{name, {}};
                for (const SkidCheck& check : checks_) {
                    const auto found = check.ride_height_mm.find(name);
                    one.mm.push_back(found == check.ride_height_mm.end() ? unknown : found->second);
                }
                all.push_back(std::move(one));
            }
        }
        std::erase_if(all, [&](const Heights& one) {
            const auto from = one.mm.begin() + static_cast<std::ptrdiff_t>(history.check.front());
            return std::any_of(from, one.mm.end(), [](double mm) { return std::isnan(mm); });
        });
        return all;
    }

    void add_gap(const SkidPoint& point, const History& history, PointWear& of) const {
        if (!car_) return;
        const auto height_mm = height_of_new_skid_mm(skid_, checks_.back(), point, *car_);
        if (!height_mm || history.check.back() + 1 != checks_.size()) return;
        of.gap_mm = *height_mm + of.worn_mm;
        of.gap_at_least_mm = *height_mm + skid_.new_mm - skid_.least_mm;
    }

    void demand_a_rate() const {
        std::vector<Problem> problems;
        for (const PointWear& of : wear_.points) {
            if (of.refused.empty()) return;
            problems.push_back({skid_.file, 0, 0, of.point, "", of.refused});
        }
        throw InputError(std::move(problems));
    }

    const Skid& skid_;
    const WearAsked& asked_;
    const Car* car_;
    std::vector<SkidCheck> checks_;  // of the skid that is on the car
    Wear wear_;
};

}  // namespace

Wear wear(const Skid& skid, const WearAsked& asked) { return Reducer(skid, asked, nullptr).all(); }

Wear wear(const Skid& skid, const WearAsked& asked, const Car& car) { return Reducer(skid, asked, &car).all(); }

}  // namespace shimwise
