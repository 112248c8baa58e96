#include "shimwise/math/least_squares.hpp"

#include <stdexcept>

#include "catch.hpp"
#include "numpy_legacy.hpp"

using namespace shimwise;

TEST_CASE("a weighted fit: residuals stand square on the weighted columns, weights are repetitions") {
    NumpyLegacy random(12);
    Eigen::MatrixXd A(7, 3);
    Eigen::VectorXd b(7), weights(7);
    for (Eigen::Index i = 0; i < 7; ++i) {
        A.row(i) << random.randn(), 1e4 * random.randn(), 1.0;
        b(i) = random.randn();
        weights(i) = 1.0 + static_cast<double>(i % 3);
    }
    const LinearFit fit = linear_fit(A, b, weights);
    const Eigen::VectorXd slope = A.transpose() * weights.cwiseProduct(fit.residual);
    CHECK(slope.cwiseQuotient(A.colwise().norm().transpose()).cwiseAbs().maxCoeff() <= 1e-12);
    const Eigen::MatrixXd normal = A.transpose() * weights.asDiagonal() * A;
    CHECK((fit.cofactor * normal - Eigen::MatrixXd::Identity(3, 3)).cwiseAbs().maxCoeff() <= 1e-9);
    CHECK_NEAR(fit.chi_square, fit.residual.cwiseAbs2().dot(weights), 1e-12);
    CHECK(fit.degrees_of_freedom == 4);

    Eigen::MatrixXd repeated(13, 3);
    Eigen::VectorXd values(13);
    Eigen::Index row = 0;
    for (Eigen::Index i = 0; i < 7; ++i)
        for (Eigen::Index k = 0; k <= i % 3; ++k, ++row) {
            repeated.row(row) = A.row(i);
            values(row) = b(i);
        }
    REQUIRE(row == 13);
    const LinearFit same = linear_fit(repeated, values);
    CHECK((same.x - fit.x).cwiseQuotient(fit.x).cwiseAbs().maxCoeff() <= 1e-11);
    CHECK_NEAR(same.chi_square, fit.chi_square, 1e-12);
}

TEST_CASE("a fit that is not determined is refused") {
    const Eigen::VectorXd b = Eigen::VectorXd::Ones(3);
    Eigen::MatrixXd twice(3, 2);
    twice << 1.0, 2.0, 2.0, 4.0, 3.0, 6.0;
    CHECK_THROWS_AS(linear_fit(twice, b), std::invalid_argument);
    CHECK_THROWS_AS(linear_fit(Eigen::MatrixXd::Zero(3, 1), b), std::invalid_argument);
    CHECK_THROWS_AS(linear_fit(Eigen::MatrixXd::Ones(2, 1), b), std::invalid_argument);
    CHECK_THROWS_AS(linear_fit(Eigen::MatrixXd::Ones(3, 1), b, Eigen::VectorXd::Zero(3)), std::invalid_argument);
    CHECK_THROWS_AS(linear_fit(Eigen::MatrixXd::Identity(3, 3), b).variance(), std::invalid_argument);
    CHECK_THROWS_AS(best_plane({{0, 0, 0}, {1, 1, 0}, {2, 2, 1}, {3, 3, 0}}), std::invalid_argument);
    CHECK_THROWS_AS(best_plane({{0, 0, 0}, {1, 0, 0}}), std::invalid_argument);
}

TEST_CASE("points on a plane give it back, however far from the origin") {
    const auto z = [](double x, double y) { return 0.01 * x - 0.02 * y + 3.0; };
    std::vector<Vec3<double>> points;
    for (double x : {10000.0, 12700.0})
        for (double y : {-800.0, 800.0}) points.push_back({x, y, z(x, y)});
    const Plane plane = best_plane(points);
    CHECK_NEAR(plane.a, 0.01, 1e-14);
    CHECK_NEAR(plane.b, -0.02, 1e-14);
    CHECK_NEAR(plane.c, 3.0, 1e-10);
    CHECK_NEAR(plane.z(11000.0, 100.0), z(11000.0, 100.0), 1e-11);
    for (double residual : plane.residual) CHECK_NEAR(residual, 0.0, 1e-11);
}
