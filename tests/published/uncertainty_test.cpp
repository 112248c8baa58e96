// Published uncertainties, line and plane fits. Tags: SEEN = read in a public source; DERIVED = two independent ways;
// RECALL = from memory, then recomputed.
#include "shimwise/math/uncertainty.hpp"

#include <Eigen/LU>
#include <cmath>

#include "catch.hpp"
#include "monte_carlo.hpp"
#include "shimwise/math/least_squares.hpp"

using namespace shimwise;

namespace {

Eigen::VectorXd vector(std::initializer_list<double> values) {
    Eigen::VectorXd v(static_cast<Eigen::Index>(values.size()));
    std::copy(values.begin(), values.end(), v.begin());
    return v;
}

LinearFit line(const Eigen::VectorXd& x, const Eigen::VectorXd& y) {
    Eigen::MatrixXd A(x.size(), 2);
    A << Eigen::VectorXd::Ones(x.size()), x;
    return linear_fit(A, y);
}

}  // namespace

// GUM (JCGM 100:2008) H.2, simultaneous resistance and reactance. Raw data SEEN; full digits recomputed from them.
TEST_CASE("GUM H.2: correlated inputs, correlated results", "[published]") {
    Eigen::MatrixXd observed(5, 3);  // V, I in mA, phi in rad
    observed.col(0) << 5.007, 4.994, 5.005, 4.990, 4.999;
    observed.col(1) << 19.663, 19.639, 19.640, 19.685, 19.678;
    observed.col(2) << 1.0456, 1.0438, 1.0468, 1.0428, 1.0433;
    observed.col(1) *= 1e-3;
    const Uncertain mean = mean_of(observed);
    CHECK_NEAR(mean.value(0), 4.9990, 5e-5);
    CHECK_NEAR(mean.standard()(0), 0.0032, 5e-5);
    CHECK_NEAR(mean.standard()(1), 0.0095e-3, 5e-8);
    CHECK_NEAR(mean.standard()(2), 0.00075, 5e-6);
    CHECK_NEAR(mean.correlation()(0, 1), -0.36, 0.005);
    CHECK_NEAR(mean.correlation()(0, 2), 0.86, 0.005);
    CHECK_NEAR(mean.correlation()(1, 2), -0.65, 0.005);

    const VectorFunction impedance = [](const Eigen::VectorXd& x) -> Eigen::VectorXd {
        const double Z = x(0) / x(1);
        return Eigen::Vector3d(Z * std::cos(x(2)), Z * std::sin(x(2)), Z);
    };
    const Uncertain result = propagate(impedance, mean);
    CHECK_NEAR(result.value(0), 127.73216993, 5e-9);
    CHECK_NEAR(result.value(1), 219.84651191, 5e-9);
    CHECK_NEAR(result.value(2), 254.25970195, 5e-9);
    CHECK_NEAR(result.standard()(0), 0.07107141, 5e-9);
    CHECK_NEAR(result.standard()(1), 0.29558168, 5e-9);
    CHECK_NEAR(result.standard()(2), 0.23633613, 5e-9);
    CHECK_NEAR(result.correlation()(0, 1), -0.58842978, 5e-9);
    CHECK_NEAR(result.correlation()(0, 2), -0.48525922, 5e-9);
    CHECK_NEAR(result.correlation()(1, 2), 0.99251165, 5e-9);

    const Uncertain witness = monte_carlo(impedance, mean, 400'000, 2);
    for (Eigen::Index i = 0; i < 3; ++i)
        CHECK_NEAR(witness.standard()(i), result.standard()(i), 0.005 * result.standard()(i));
}

// GUM H.3, calibration line of a thermometer. Data SEEN; full digits recomputed.
TEST_CASE("GUM H.3: a line with covariance, and its prediction", "[published]") {
    const Eigen::VectorXd t =
        vector({21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511});
    const Eigen::VectorXd b =
        vector({-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160});
    const LinearFit fit = line(t.array() - 20.0, b);
    const Uncertain y{fit.x, fit.variance() * fit.cofactor};
    CHECK_NEAR(y.value(0), -0.17120379, 5e-9);
    CHECK_NEAR(y.standard()(0), 0.0028776, 5e-8);
    CHECK_NEAR(y.value(1), 0.0021827, 5e-8);
    CHECK_NEAR(y.standard()(1), 0.00066794, 5e-9);
    CHECK_NEAR(y.correlation()(0, 1), -0.93042960, 5e-9);

    const Uncertain at_30 =
        propagate([](const Eigen::VectorXd& c) -> Eigen::VectorXd { return vector({c(0) + 10.0 * c(1)}); }, y);
    CHECK_NEAR(at_30.value(0), -0.14937681, 5e-9);
    CHECK_NEAR(at_30.standard()(0), 0.00413860, 5e-9);
}

// JCGM 101:2008 9.2.2 and 9.2.3, sums of four quantities. SEEN.
TEST_CASE("JCGM 101 9.2: where the law of propagation is exact, and where only its spread is", "[published]") {
    const auto sum = [](const Eigen::VectorXd& x) -> Eigen::VectorXd { return vector({x.sum()}); };
    const Uncertain law = propagate(sum, {Eigen::VectorXd::Zero(4), Eigen::MatrixXd::Identity(4, 4)});
    CHECK_NEAR(law.standard()(0), 2.0, 1e-12);

    NumpyLegacy random(3);
    std::vector<double> normal(1'000'000), rectangular(normal.size());
    for (double& value : normal) value = random.randn() + random.randn() + random.randn() + random.randn();
    for (double& value : rectangular)
        value = std::sqrt(12.0) * (random.rand() + random.rand() + random.rand() + random.rand() - 2.0);
    // An end of the interval of a million trials scatters by 0.005.
    const auto [low, high] = interval(normal, 0.95);
    CHECK_NEAR(low, -3.92, 0.02);
    CHECK_NEAR(high, 3.92, 0.02);
    CHECK_NEAR(high, 1.959963984540054 * law.standard()(0), 0.02);
    const auto [low_r, high_r] = interval(rectangular, 0.95);
    CHECK_NEAR(low_r, -3.88, 0.02);
    CHECK_NEAR(high_r, 3.88, 0.02);
    CHECK(high - high_r > 0.02);
}

// The data set `cars` of R (speed and stopping distance, 50 pairs) with lm and predict; SEEN. Inverse prediction
// (Fieller 1954): DERIVED twice.
TEST_CASE("a line with prediction and inverse prediction", "[published]") {
    const Eigen::VectorXd speed =
        vector({4,  4,  7,  7,  8,  9,  10, 10, 10, 11, 11, 12, 12, 12, 12, 13, 13, 13, 13, 14, 14, 14, 14, 15, 15,
                15, 16, 16, 17, 17, 17, 18, 18, 18, 18, 19, 19, 19, 20, 20, 20, 20, 20, 22, 23, 24, 24, 24, 24, 25});
    const Eigen::VectorXd distance =
        vector({2,  10, 4,  22, 16, 10, 18, 26, 34, 17, 28, 14, 20, 24, 28, 26, 34, 34, 46, 26, 36, 60, 80, 20,  26,
                54, 32, 40, 32, 40, 50, 42, 56, 76, 84, 36, 46, 68, 32, 48, 52, 56, 64, 66, 54, 70, 92, 93, 120, 85});
    const LinearFit fit = line(speed, distance);
    const Uncertain y{fit.x, fit.variance() * fit.cofactor};
    CHECK_NEAR(y.value(0), -17.579094890510945, 1e-12);
    CHECK_NEAR(y.value(1), 3.932408759124087, 1e-13);
    CHECK_NEAR(y.standard()(0), 6.758440169, 5e-10);
    CHECK_NEAR(y.standard()(1), 0.4155127767, 5e-11);
    CHECK_NEAR(std::sqrt(fit.variance()), 15.379586748819907, 1e-12);
    CHECK(fit.degrees_of_freedom == 48);

    const double student = 2.0106347576242314;  // 97.5 % of Student's t with 48 degrees of freedom
    const Uncertain at_12 =
        propagate([](const Eigen::VectorXd& c) -> Eigen::VectorXd { return vector({c(0) + 12.0 * c(1)}); }, y);
    const double mean = at_12.value(0), u_mean = at_12.standard()(0),
                 u_single = std::hypot(u_mean, std::sqrt(fit.variance()));
    CHECK_NEAR(mean, 29.60981, 5e-6);
    CHECK_NEAR(mean - student * u_mean, 24.39514, 5e-6);
    CHECK_NEAR(mean + student * u_mean, 34.82448, 5e-6);
    CHECK_NEAR(mean - student * u_single, -1.749529, 5e-7);
    CHECK_NEAR(mean + student * u_single, 60.96915, 5e-6);

    // Ends of the interval of x: (a + b x - 60)^2 = t^2 (variance of the line at x + that of a reading).
    CHECK_NEAR((60.0 - y.value(0)) / y.value(1), 19.728136, 5e-7);
    const auto ends = [&](double reading_variance) {
        const double t2 = student * student, off = y.value(0) - 60.0, b = y.value(1);
        const Eigen::MatrixXd& V = y.covariance;
        const double A = b * b - t2 * V(1, 1), B = off * b - t2 * V(0, 1),
                     C = off * off - t2 * (V(0, 0) + reading_variance);
        const double root = std::sqrt(B * B - A * C);
        return std::pair((-B - root) / A, (-B + root) / A);
    };
    CHECK_NEAR(ends(0.0).first, 18.441916, 5e-7);
    CHECK_NEAR(ends(0.0).second, 21.423529, 5e-7);
    CHECK_NEAR(ends(fit.variance()).first, 11.748532, 5e-7);
    CHECK_NEAR(ends(fit.variance()).second, 28.116913, 5e-7);
}

// A public question and answer on the plane of best fit. SEEN 0.2535, -0.0392, 1.0895; digits recomputed.
TEST_CASE("best plane through four points", "[published]") {
    const std::vector<Vec3<double>> points = {{8.5, 8.5, 3.0}, {3.5, 18.0, 1.0}, {0.4, 22.0, 0.5}, {12.9, 34.9, 3.0}};
    const Plane plane = best_plane(points);
    CHECK_NEAR(plane.a, 0.25350799, 5e-9);
    CHECK_NEAR(plane.b, -0.03922956, 5e-9);
    CHECK_NEAR(plane.c, 1.08949821, 5e-9);
    const std::vector<double> residual = {0.08913507, -0.27064416, 0.17214886, 0.00936022};
    for (std::size_t i = 0; i < 4; ++i) CHECK_NEAR(plane.residual[i], residual[i], 5e-9);

    // Four residuals have one freedom, the warp: the vector w with sum w = sum w x = sum w y = 0.
    Eigen::Matrix<double, 3, 4> balance;
    for (int i = 0; i < 4; ++i) balance.col(i) << 1.0, points[std::size_t(i)].x, points[std::size_t(i)].y;
    Eigen::Vector4d warp;
    for (int i = 0; i < 4; ++i) {
        Eigen::Matrix3d others;
        for (int j = 0, k = 0; j < 4; ++j)
            if (j != i) others.col(k++) = balance.col(j);
        warp(i) = (i % 2 == 0 ? 1.0 : -1.0) * others.determinant();
    }
    const double amount = plane.residual[0] / warp(0);
    for (int i = 0; i < 4; ++i) CHECK_NEAR(plane.residual[std::size_t(i)], amount * warp(i), 1e-12);
}

// DERIVED: one corner of a rectangle raised by 4: the plane takes 3, -1 and twice 1.
TEST_CASE("best plane of a rectangle of pads with one too high", "[published]") {
    const std::vector<Vec3<double>> pads = {{1300, 800, 4.0}, {-1400, -800, 0.0}, {1300, -800, 0.0}, {-1400, 800, 0.0}};
    const Plane plane = best_plane(pads);
    const std::vector<double> expected = {3.0, -1.0, 1.0, 1.0};
    for (std::size_t i = 0; i < 4; ++i) CHECK_NEAR(plane.z(pads[i].x, pads[i].y), expected[i], 1e-12);
}
