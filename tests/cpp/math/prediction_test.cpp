#include "shimwise/math/prediction.hpp"

#include <cmath>
#include <random>

#include "binomial_band.hpp"
#include "catch.hpp"
#include "size.hpp"

using namespace shimwise;

namespace {

LinearFit line(const Eigen::VectorXd& x, const Eigen::VectorXd& y) {
    Eigen::MatrixXd A(x.size(), 2);
    A << Eigen::VectorXd::Ones(x.size()), x;
    return linear_fit(A, y);
}

bool holds(const Root& root, double x) {
    switch (root.known) {
        case Root::Known::between:
            return root.low <= x && x <= root.high;
        case Root::Known::outside:
            return x <= root.low || x >= root.high;
        case Root::Known::from:
            return x >= root.low;
        case Root::Known::to:
            return x <= root.high;
        default:
            return true;
    }
}

}  // namespace

TEST_CASE("the places that fieller gives are those whose value is within k standard deviations of 0") {
    std::mt19937_64 draw(5);
    std::uniform_real_distribution<double> any(-2.0, 2.0);
    std::array<int, 5> seen{};
    for (int i = 0; i < 4000; ++i) {
        const double u = any(draw), v = any(draw), k = std::abs(any(draw)) + 0.1;
        Eigen::Matrix2d half;
        half << any(draw), any(draw), any(draw), any(draw);
        const Eigen::Matrix2d covariance = half * half.transpose();
        const Root root = fieller(u, v, covariance, k);
        ++seen[static_cast<std::size_t>(root.known)];
        CHECK_NEAR(u + v * root.at, 0.0, 1e-9);
        CHECK(holds(root, root.at));
        for (int j = 0; j < 30; ++j) {
            const double x = 4.0 * any(draw);
            const double variance = covariance(0, 0) + 2.0 * x * covariance(0, 1) + x * x * covariance(1, 1);
            const double off = std::abs(u + v * x) - k * std::sqrt(variance);
            if (std::abs(off) > 1e-9) CHECK(holds(root, x) == (off < 0.0));
        }
    }
    for (const auto known : {Root::Known::between, Root::Known::outside, Root::Known::everywhere})
        CHECK(seen[static_cast<std::size_t>(known)] > 100);
}

TEST_CASE("a slope exactly k of its deviations from 0 leaves one end open, no slope at all every place") {
    Eigen::Matrix2d covariance = Eigen::Matrix2d::Zero();
    covariance(1, 1) = 1.0;
    const Root down = fieller(6.0, -2.0, covariance, 2.0);  // 6 - 2 x, from x = 1.5 on
    CHECK(down.known == Root::Known::from);
    CHECK(down.low == 1.5);
    CHECK(down.at == 3.0);
    CHECK(fieller(6.0, 2.0, covariance, 2.0).known == Root::Known::to);
    CHECK(fieller(6.0, 2.0, covariance, 2.0).high == -1.5);
    CHECK(fieller(0.0, 0.0, Eigen::Matrix2d::Zero(), 2.0).known == Root::Known::everywhere);
    const Root exact = fieller(6.0, -2.0, Eigen::Matrix2d::Zero(), 2.0);
    CHECK(exact.known == Root::Known::between);
    CHECK(exact.low == 3.0);
    CHECK(exact.high == 3.0);
}

TEST_CASE("prediction and inverse prediction cover as often as they say, few observations and many, steep and level") {
    const int cases = test_size("fitted lines", 1000, 20'000);
    std::mt19937_64 draw(11);
    std::normal_distribution<double> error(0.0, 0.3);
    for (const int n : {3, 5, 20})
        for (const double slope : {-2.0, -0.05}) {
            const Eigen::VectorXd x = Eigen::VectorXd::LinSpaced(n, 0.0, 6.0);
            int single = 0, mean = 0, place = 0, of_one = 0;
            for (int i = 0; i < cases; ++i) {
                Eigen::VectorXd y(n);
                for (int j = 0; j < n; ++j) y(j) = 4.0 + slope * x(j) + error(draw);
                const LinearFit fit = line(x, y);
                const Scatter scatter = scatter_shown(fit);
                const double k = scatter.factor(0.95), at = 9.0, truth = 4.0 + slope * at;
                const Predicted next = predict(fit, scatter, Eigen::Vector2d(1.0, at));
                const double seen = truth + error(draw);
                single += std::abs(seen - next.mean) <= k * next.single_u;
                mean += std::abs(truth - next.mean) <= k * next.mean_u;
                const Eigen::Vector2d start(1.0, 0.0), along(0.0, 1.0);
                place += holds(reaches(fit, scatter, start, along, truth, 0.95), at);
                of_one += holds(reaches(fit, scatter, start, along, seen, 0.95, Of::single), at);
            }
            INFO(n << " observations, slope " << slope << ", of " << cases << ": " << single << ' ' << mean << ' '
                   << place << ' ' << of_one);
            for (const int covered : {single, mean, place, of_one}) CHECK(in_binomial_band(covered, cases, 0.95));
        }
}

TEST_CASE("a scatter that is known beforehand is normal, one that is shown is Student's") {
    CHECK_NEAR(Scatter{2.0}.factor(0.95), 1.959963984540054, 1e-12);
    CHECK_NEAR((Scatter{2.0, 1}.factor(0.95)), 12.706204736174698, 1e-12);
    CHECK_NEAR(Scatter{2.0}.below(-1.0), 0.15865525393145707, 1e-15);
    CHECK_NEAR((Scatter{2.0, 1}.below(-1.0)), 0.25, 1e-15);
    CHECK_THROWS_AS(scatter_shown(line(Eigen::Vector2d(0.0, 1.0), Eigen::Vector2d(3.0, 4.0))), std::invalid_argument);
}
