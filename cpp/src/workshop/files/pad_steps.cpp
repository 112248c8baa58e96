#include "shimwise/workshop/files/pad_steps.hpp"

#include <array>
#include <optional>

#include "shimwise/math/least_squares.hpp"

namespace shimwise {
namespace {

using Eigen::Index;

constexpr auto pads = static_cast<Index>(corner_count);

/// Steps that tie pads together without a way round, and the way from pad to pad over them.
class Ties {
public:
    using Way = std::vector<std::pair<std::size_t, CornerId>>;  // by which step, to which pad

    /// Whether it ties two pads that were not tied.
    bool tie(const std::vector<PadStep>& steps, std::size_t step) {
        if (way(steps, steps[step].from, steps[step].to)) return false;
        tied_.push_back(step);
        return true;
    }

    /// Nothing where none leads there.
    std::optional<Way> way(const std::vector<PadStep>& steps, CornerId from, CornerId to) const {
        return way(steps, from, to, steps.size());
    }

private:
    std::optional<Way> way(const std::vector<PadStep>& steps, CornerId from, CornerId to, std::size_t came_by) const {
        if (from == to) return Way{};
        for (const std::size_t by : tied_) {
            const PadStep& step = steps[by];
            if (by == came_by || (step.from != from && step.to != from)) continue;
            const CornerId next = step.from == from ? step.to : step.from;
            if (auto rest = way(steps, next, to, by)) {
                rest->insert(rest->begin(), {by, next});
                return rest;
            }
        }
        return std::nullopt;
    }

    std::vector<std::size_t> tied_;
};

}  // namespace

std::vector<CornerId> pads_not_reached(const std::vector<PadStep>& steps) {
    Ties ties;
    for (std::size_t s = 0; s < steps.size(); ++s) ties.tie(steps, s);
    std::vector<CornerId> missing;
    for (std::size_t c = 1; c < corner_count; ++c)
        if (!ties.way(steps, CornerId::front_left, static_cast<CornerId>(c)))
            missing.push_back(static_cast<CornerId>(c));
    return missing;
}

Eigen::MatrixXd pads_by_steps(const std::vector<PadStep>& steps) {
    const auto n = static_cast<Index>(steps.size());
    // The last row holds the mean at 0: no step speaks of it, so it takes nothing from their least squares.
    Eigen::MatrixXd A = Eigen::MatrixXd::Zero(n + 1, pads);
    for (Index s = 0; s < n; ++s) {
        A(s, static_cast<Index>(steps[static_cast<std::size_t>(s)].to)) = 1.0;
        A(s, static_cast<Index>(steps[static_cast<std::size_t>(s)].from)) = -1.0;
    }
    A.row(n).setConstant(1.0 / static_cast<double>(corner_count));
    Eigen::MatrixXd by(pads, n);
    for (Index s = 0; s < n; ++s) by.col(s) = linear_fit(A, Eigen::VectorXd::Unit(n + 1, s)).x;
    return by;
}

std::vector<PadLoop> pad_loops(const std::vector<PadStep>& steps) {
    Ties ties;
    std::vector<PadLoop> loops;
    for (std::size_t s = 0; s < steps.size(); ++s) {
        if (ties.tie(steps, s)) continue;
        PadLoop loop = {{steps[s].from}, Eigen::VectorXd::Zero(static_cast<Index>(steps.size()))};
        loop.by_steps(static_cast<Index>(s)) = 1.0;
        CornerId at = steps[s].to;
        const auto back = ties.way(steps, steps[s].to, steps[s].from);
        for (const auto& [by, next] : *back) {
            loop.pads.push_back(at);
            loop.by_steps(static_cast<Index>(by)) = steps[by].from == at ? 1.0 : -1.0;
            at = next;
        }
        loops.push_back(std::move(loop));
    }
    return loops;
}

}  // namespace shimwise
