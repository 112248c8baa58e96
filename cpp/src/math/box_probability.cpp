#include "shimwise/math/box_probability.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>
#include <vector>

#include "math/box_stages.hpp"
#include "shimwise/math/normal.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double no_correlation = 1e-12;  // a smaller one is rounding
constexpr double no_variance = 1e-14;  // of a unit variance, per dimension: what is left after the others is rounding
constexpr double enough_variance = 0.01;  // of the largest that is left: less is divided by too early

void demand(bool good, const char* sentence) {
    if (!good) throw std::invalid_argument(sentence);
}

/// Mean of a standard normal within a range.
double mean_between(double low, double high) {
    const double chance = normal_between(low, high);
    if (!(chance > 0.0)) return std::clamp(0.0, std::min(low, high), std::max(low, high));
    const auto density = [](double x) { return std::exp(-0.5 * x * x) / std::sqrt(2.0 * std::numbers::pi); };
    return std::clamp((density(low) - density(high)) / chance, low, high);
}

/// Value i = L.row(i) . independent normals: Cholesky, the value that is least likely within its limits first, those
/// before it at their means (Genz & Bretz, Computation of Multivariate Normal and t Probabilities, 2009; RECALL): what
/// is left to be drawn then matters least. As many columns as the correlation has directions.
class Factor {
public:
    Factor(const MatrixXd& correlation, VectorXd low, VectorXd high)
        : rest_(correlation), low_(std::move(low)), high_(std::move(high)), L_(correlation.rows(), 0) {
        const double negligible = no_variance * static_cast<double>(correlation.rows());
        while (rest_.diagonal().maxCoeff() > negligible) take(next(), negligible);
        demand(rest_.cwiseAbs().maxCoeff() <= 1e-6, "covariance has a negative variance in some direction");
    }

    const MatrixXd& L() const { return L_; }

private:
    Index next() const {
        const double most = rest_.diagonal().maxCoeff();
        Index least_likely = 0;
        double least = 2.0;
        for (Index i = 0; i < rest_.rows(); ++i) {
            if (!(rest_(i, i) > enough_variance * most)) continue;
            const double own = std::sqrt(rest_(i, i));
            const double chance = normal_between(low_(i) / own, high_(i) / own);
            if (chance < least) {
                least = chance;
                least_likely = i;
            }
        }
        return least_likely;
    }

    void take(Index pivot, double negligible) {
        const double own = std::sqrt(rest_(pivot, pivot));
        VectorXd column = rest_.col(pivot) / own;
        for (double& entry : column)
            if (std::abs(entry) <= std::sqrt(negligible)) entry = 0.0;
        const double mean = mean_between(low_(pivot) / own, high_(pivot) / own);
        L_.conservativeResize(Eigen::NoChange, L_.cols() + 1);
        L_.rightCols(1) = column;
        for (Index j = 0; j < rest_.cols(); ++j) rest_.col(j) -= column(j) * column;
        low_ -= mean * column;
        high_ -= mean * column;
        rest_.row(pivot).setZero();
        rest_.col(pivot).setZero();
    }

    MatrixXd rest_;
    VectorXd low_, high_;  // with what was taken at its mean
    MatrixXd L_;
};

std::vector<BoxStage> stages_of(const MatrixXd& correlation, const VectorXd& low, const VectorXd& high) {
    const MatrixXd L = Factor(correlation, low, high).L();
    std::vector<BoxStage> stages(static_cast<std::size_t>(L.cols()));
    for (Index i = 0; i < L.rows(); ++i) {
        Index last = L.cols() - 1;
        while (L(i, last) == 0.0) --last;
        BoxLimit limit{{}, L(i, last), low(i), high(i)};
        for (Index j = 0; j < last; ++j) limit.before.push_back(L(i, j));
        stages[static_cast<std::size_t>(last)].push_back(std::move(limit));
    }
    return stages;
}

BoxProbability block(const MatrixXd& correlation, const VectorXd& low, const VectorXd& high, double accuracy) {
    const std::vector<BoxStage> stages = stages_of(correlation, low, high);
    if (stages.size() == 1) {
        const Range only = range(stages[0], {});
        return {normal_between(only.least, only.most), 1e-15};
    }
    return stages.size() == 2 ? box_of_two(stages) : box_of_many(stages, accuracy);
}

/// The rows that hang together with one that is left, which are taken out of those left.
std::vector<Index> take_block(const MatrixXd& correlation, std::vector<Index>& left) {
    std::vector<Index> rows = {left.front()};
    left.erase(left.begin());
    for (std::size_t next = 0; next < rows.size(); ++next) {
        const Index i = rows[next];
        std::erase_if(left, [&](Index j) {
            const bool linked =
                std::abs(correlation(i, j)) > no_correlation || std::abs(correlation(j, i)) > no_correlation;
            if (linked) rows.push_back(j);
            return linked;
        });
    }
    return rows;
}

}  // namespace

Range range(const BoxStage& stage, std::span<const double> earlier) {
    Range found{-HUGE_VAL, HUGE_VAL};
    for (const BoxLimit& limit : stage) {
        double known = 0.0;
        for (std::size_t j = 0; j < limit.before.size(); ++j) known += limit.before[j] * earlier[j];
        const double one = (limit.low - known) / limit.own, other = (limit.high - known) / limit.own;
        found.least = std::max(found.least, std::min(one, other));
        found.most = std::min(found.most, std::max(one, other));
    }
    return found;
}

BoxProbability probability_in_box(const VectorXd& mean, const MatrixXd& covariance, const VectorXd& lower,
                                  const VectorXd& upper, double accuracy) {
    const Index n = mean.size();
    demand(covariance.rows() == n && covariance.cols() == n, "covariance does not fit the values");
    demand(lower.size() == n && upper.size() == n, "limits do not fit the values");
    demand(mean.allFinite() && covariance.allFinite(), "mean and covariance need finite numbers");
    VectorXd low = lower - mean, high = upper - mean;
    demand((low.array() <= high.array()).all(), "a lower limit is above its upper one, or a limit is not a number");
    demand((covariance.diagonal().array() >= 0.0).all(), "covariance has a negative variance");
    const VectorXd deviation = covariance.diagonal().cwiseSqrt();
    const MatrixXd scale = deviation * deviation.transpose();
    demand(((covariance - covariance.transpose()).array().abs() <= 1e-9 * scale.array()).all(),
           "covariance is not symmetric, or correlates a value that has no variance");

    std::vector<Index> left;
    for (Index i = 0; i < n; ++i) {
        if (deviation(i) > 0.0)
            left.push_back(i);
        else if (!(low(i) <= 0.0 && high(i) >= 0.0))
            return {0.0, 0.0};
    }
    const MatrixXd correlation = covariance.cwiseQuotient(scale);
    low = low.cwiseQuotient(deviation);
    high = high.cwiseQuotient(deviation);
    double value = 1.0, bound = 1.0;
    while (!left.empty()) {
        std::vector<Index> rows = take_block(correlation, left);
        std::sort(rows.begin(), rows.end());
        const BoxProbability part = block(correlation(rows, rows), low(rows), high(rows), accuracy);
        value *= part.value;
        bound *= part.value + part.error;
    }
    return {value, bound - value};
}

}  // namespace shimwise
