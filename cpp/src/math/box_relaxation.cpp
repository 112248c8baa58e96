#include "math/box_relaxation.hpp"

#include <algorithm>
#include <cmath>

namespace shimwise {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

// Of the diagonal: what columns that nearly depend on each other leave is rounding. The bound holds whatever it is.
constexpr double least_pivot = 1e-15;

}  // namespace

BoxRelaxation::BoxRelaxation(const MatrixXd& R)
    : R_(R),
      gram_(R.transpose().lazyProduct(R)),
      factor_(R.cols(), R.cols()),
      q_(R.cols()),
      goal_(R.cols()),
      held_(static_cast<std::size_t>(R.cols())) {
    open_.reserve(held_.size());
}

Relaxed BoxRelaxation::operator()(const Eigen::Ref<const VectorXd>& w, const VectorXd& lower, const VectorXd& upper,
                                  Eigen::Ref<VectorXd> z) {
    const Index n = z.size();
    double largest = 0.0, reach_below = 0.0, reach_above = 0.0, gram_largest = 0.0;
    for (Index i = 0; i < n; ++i) {
        q_(i) = R_.col(i).head(i + 1).dot(w.head(i + 1));
        largest = std::max(largest, std::abs(q_(i)));
        reach_below = std::max(reach_below, std::abs(lower(i)));
        reach_above = std::max(reach_above, std::abs(upper(i)));
        gram_largest = std::max(gram_largest, gram_(i, i));
        held(i) = !(z(i) > lower(i) && z(i) < upper(i));
    }
    const double noise = 1e-12 * (largest + gram_largest * (reach_below + reach_above));
    bool exact = false;
    for (Index step = 0; step < 10 * (n + 1) && !exact; ++step) {
        if (!advance(lower, upper, z)) continue;
        const Index release = worst_held(lower, upper, z, noise);
        if (release < 0)
            exact = true;
        else
            held(release) = 0;
    }
    return {bound(w, lower, upper, z), exact};
}

double BoxRelaxation::bound(const Eigen::Ref<const VectorXd>& w, const VectorXd& lower, const VectorXd& upper,
                            const Eigen::Ref<const VectorXd>& z) {
    const Index n = z.size();
    for (Index i = 0; i < n; ++i) goal_(i) = R_.row(i).segment(i, n - i).dot(z.segment(i, n - i)) - w(i);
    double cost = goal_.head(n).squaredNorm();
    for (Index i = 0; i < n; ++i) {
        const double slope = 2.0 * R_.col(i).head(i + 1).dot(goal_.head(i + 1));
        cost += std::min(slope * (lower(i) - z(i)), slope * (upper(i) - z(i)));
    }
    return std::max(cost, 0.0);
}

/// To the optimum of the open unknowns, or to the first limit on the way, which then holds; false: it did.
bool BoxRelaxation::advance(const VectorXd& lower, const VectorXd& upper, Eigen::Ref<VectorXd> z) {
    const Index n = z.size();
    open_.clear();
    for (Index i = 0; i < n; ++i)
        if (!held(i)) open_.push_back(i);
    if (open_.empty()) return true;
    solve_open(z);
    double fraction_taken = 1.0;
    Index blocking = -1;
    for (std::size_t j = 0; j < open_.size(); ++j) {
        const Index i = open_[j];
        const double to = goal_(static_cast<Index>(j));
        if (to >= lower(i) && to <= upper(i)) continue;
        const double fraction = ((to < lower(i) ? lower(i) : upper(i)) - z(i)) / (to - z(i));
        if (!(fraction < fraction_taken) && blocking >= 0) continue;
        fraction_taken = fraction;
        blocking = i;
    }
    for (std::size_t j = 0; j < open_.size(); ++j) {
        const Index i = open_[j];
        z(i) = std::clamp(z(i) + fraction_taken * (goal_(static_cast<Index>(j)) - z(i)), lower(i), upper(i));
    }
    if (blocking < 0) return true;
    z(blocking) = upper(blocking) - z(blocking) < z(blocking) - lower(blocking) ? upper(blocking) : lower(blocking);
    held(blocking) = 1;
    return false;
}

/// goal_ = optimum of the open unknowns, the others staying; Cholesky, whose rows are the columns of factor_.
void BoxRelaxation::solve_open(const Eigen::Ref<const VectorXd>& z) {
    const auto m = static_cast<Index>(open_.size());
    for (Index j = 0; j < m; ++j) {
        const Index i = open_[static_cast<std::size_t>(j)];
        for (Index k = 0; k < j; ++k) {
            const double left =
                gram_(open_[static_cast<std::size_t>(k)], i) - factor_.col(k).head(k).dot(factor_.col(j).head(k));
            factor_(k, j) = left / factor_(k, k);
        }
        const double pivot = gram_(i, i) - factor_.col(j).head(j).squaredNorm();
        factor_(j, j) = std::sqrt(std::max(pivot, least_pivot * gram_(i, i)));
        double right = q_(i);
        for (Index k = 0; k < z.size(); ++k)
            if (held(k)) right -= gram_(k, i) * z(k);
        goal_(j) = (right - factor_.col(j).head(j).dot(goal_.head(j))) / factor_(j, j);
    }
    for (Index j = m - 1; j >= 0; --j) {
        goal_(j) /= factor_(j, j);
        goal_.head(j) -= goal_(j) * factor_.col(j).head(j);
    }
}

/// The held unknown that is pulled inward most, by more than the noise; -1: none.
Index BoxRelaxation::worst_held(const VectorXd& lower, const VectorXd& upper, const Eigen::Ref<const VectorXd>& z,
                                double noise) {
    double worst = noise;
    Index release = -1;
    for (Index i = 0; i < z.size(); ++i) {
        if (!held(i) || !(upper(i) > lower(i))) continue;
        const double slope = gram_.col(i).head(z.size()).dot(z) - q_(i);
        const double pull = z(i) >= upper(i) ? slope : -slope;
        if (pull > worst) {
            worst = pull;
            release = i;
        }
    }
    return release;
}

}  // namespace shimwise
