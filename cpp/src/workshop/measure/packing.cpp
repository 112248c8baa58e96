#include "shimwise/workshop/measure/packing.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>
#include <tuple>

#include "files/shown.hpp"
#include "shimwise/error.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::Vector3d;

constexpr std::uint64_t most_looked_at = 20'000'000;  // a fraction of a second
constexpr double billion = 1e9;                       // shares of a tolerance are compared in whole billionths
constexpr double nm_per_mm = 1e6;                     // sums of thicknesses are compared in whole numbers

class Search {
public:
    Search(const Level& level, const std::vector<double>& packing_mm, const LevelTolerance& tolerance)
        : pieces_mm_(packing_mm) {
        const Vector3d inside(tolerance.tilt_mm_per_m, tolerance.tilt_mm_per_m, tolerance.twist_mm);
        by_pads_ = inside.cwiseInverse().asDiagonal() * level.by_pads;
        start_ = inside.cwiseInverse().asDiagonal() *
                 Vector3d(level.fore_aft_mm_per_m.value, level.across_mm_per_m.value, level.twist_mm.value);
        most_ = in_billionths(start_).cwiseMax(billion);
        up_per_mm_ = by_pads_.rowwise().maxCoeff().cwiseMax(0.0);
        down_per_mm_ = by_pads_.rowwise().minCoeff().cwiseMin(0.0);
        std::ranges::sort(pieces_mm_, std::greater{});
        sums_mm_.assign(1, 0.0);
        for (const double mm : pieces_mm_) sums_mm_.push_back(sums_mm_.back() + mm);
        pad_of_.assign(pieces_mm_.size(), nowhere);
    }

    /// One piece more at a time: what is inside with the fewest is found first.
    void run() {
        consider(start_, 0, 0);
        for (depth_ = 1; depth_ <= pieces_mm_.size() && !within() && !out_of_time(); ++depth_) place(0, start_, 0, 0);
    }

    const std::vector<double>& pieces_mm() const { return pieces_mm_; }
    const std::vector<std::size_t>& best_pad_of() const { return best_pad_of_; }
    bool within() const { return best_.excess == 0.0; }
    bool proven() const { return !out_of_time(); }
    std::uint64_t looked_at() const { return looked_at_; }

    static constexpr std::size_t nowhere = corner_count;

private:
    static Vector3d in_billionths(const Vector3d& shares) { return (shares.cwiseAbs() * billion).array().round(); }

    /// What a way is judged by, the first first; shares in billionths.
    struct Judged {
        double excess = std::numeric_limits<double>::infinity();  // over the tolerances, of all three together
        std::size_t pieces = 0;
        std::int64_t nm = 0;
        double share = 0.0;

        auto tied() const { return std::tie(excess, pieces, nm, share); }
    };

    bool out_of_time() const { return looked_at_ >= most_looked_at; }

    void consider(const Vector3d& shares, std::size_t used, std::int64_t nm) {
        ++looked_at_;
        const Vector3d then = in_billionths(shares);
        if ((then.array() > most_.array()).any()) return;
        const Judged now = {(then.array() - billion).max(0.0).sum(), used, nm, then.maxCoeff()};
        if (!(now.tied() < best_.tied())) return;
        best_ = now;
        best_pad_of_ = pad_of_;
    }

    /// Whether pieces from this one on can still lead to something better.
    bool hopeful(std::size_t from, const Vector3d& shares, std::size_t used, std::int64_t nm) const {
        const std::size_t to = std::min(pieces_mm_.size(), from + depth_ - used);
        const double reach_mm = sums_mm_[to] - sums_mm_[from];  // no pieces left are thicker than the next ones
        Vector3d least;
        for (Index k = 0; k < 3; ++k) {
            const double high = shares(k) + up_per_mm_(k) * reach_mm, low = shares(k) + down_per_mm_(k) * reach_mm;
            least(k) = std::max({0.0, low, -high}) * billion - 1.0;  // rounded down
        }
        if ((least.array() > most_.array()).any()) return false;
        const double bound = (least.array() - billion).max(0.0).sum();
        return std::tuple(bound, used + 1, nm) < std::tuple(best_.excess, best_.pieces, best_.nm);
    }

    /// The next piece that is used, under each pad. Of equal pieces the first are used, and under pads in order.
    void place(std::size_t from, const Vector3d& shares, std::size_t used, std::int64_t nm) {
        for (std::size_t i = from; i < pieces_mm_.size(); ++i) {
            if (out_of_time() || !hopeful(i, shares, used, nm)) return;
            const bool same = i > 0 && pieces_mm_[i] == pieces_mm_[i - 1];
            if (same && i > from) continue;
            const std::size_t first = same ? pad_of_[i - 1] : 0;
            for (std::size_t pad = first; pad < corner_count; ++pad) {
                pad_of_[i] = pad;
                const Vector3d then = shares + pieces_mm_[i] * by_pads_.col(static_cast<Index>(pad));
                const std::int64_t nm_then = nm + std::llround(pieces_mm_[i] * nm_per_mm);
                consider(then, used + 1, nm_then);
                if (used + 1 < depth_) place(i + 1, then, used + 1, nm_then);
            }
            pad_of_[i] = nowhere;
        }
    }

    std::vector<double> pieces_mm_;  // the thickest first
    std::vector<double> sums_mm_;    // of the first so many
    Eigen::Matrix<double, 3, corner_count> by_pads_;
    Vector3d start_, up_per_mm_, down_per_mm_;  // shares of tolerances
    Vector3d most_;                             // billionths: what is inside stays so, what is outside gets no worse
    std::vector<std::size_t> pad_of_, best_pad_of_;
    Judged best_;
    std::size_t depth_ = 0;  // the most pieces looked at now
    std::uint64_t looked_at_ = 0;
};

void demand_tolerance(const char* name, double value) {
    if (!(value > 0.0 && std::isfinite(value)))
        throw InputError({{"", 0, 0, name, files::shown(value), "a tolerance must be above 0"}});
}

}  // namespace

Packing best_packing(const Level& level, const std::vector<double>& packing_mm, const LevelTolerance& tolerance) {
    demand_tolerance("tilt_mm_per_m", tolerance.tilt_mm_per_m);
    demand_tolerance("twist_mm", tolerance.twist_mm);
    Search search(level, packing_mm, tolerance);
    search.run();
    Packing best;
    Eigen::Vector4d raised = Eigen::Vector4d::Zero();
    for (std::size_t i = 0; i < search.pieces_mm().size(); ++i) {
        const std::size_t pad = search.best_pad_of()[i];
        if (pad == Search::nowhere) continue;
        best.under_mm[pad].push_back(search.pieces_mm()[i]);
        raised(static_cast<Index>(pad)) += search.pieces_mm()[i];
        ++best.pieces;
    }
    for (std::size_t c = 0; c < corner_count; ++c)
        best.pads_mm[c] = level.pads_mm[c] + raised(static_cast<Index>(c)) - raised.mean();
    const Vector3d moved = level.by_pads * raised;
    best.fore_aft_mm_per_m = level.fore_aft_mm_per_m.value + moved(0);
    best.across_mm_per_m = level.across_mm_per_m.value + moved(1);
    best.twist_mm = level.twist_mm.value + moved(2);
    best.share = std::max({std::abs(best.fore_aft_mm_per_m) / tolerance.tilt_mm_per_m,
                           std::abs(best.across_mm_per_m) / tolerance.tilt_mm_per_m,
                           std::abs(best.twist_mm) / tolerance.twist_mm});
    best.within = search.within();
    best.proven = search.proven();
    best.looked_at = search.looked_at();
    return best;
}

}  // namespace shimwise
