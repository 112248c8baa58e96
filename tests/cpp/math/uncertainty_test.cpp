#include "shimwise/math/uncertainty.hpp"

#include <cmath>
#include <limits>
#include <stdexcept>

#include "catch.hpp"
#include "monte_carlo.hpp"

using namespace shimwise;

namespace {

Eigen::VectorXd polar(const Eigen::VectorXd& x) {
    return Eigen::Vector2d(std::hypot(x(0), x(1)), std::atan2(x(1), x(0)));
}

}  // namespace

TEST_CASE("the Jacobian meets the derivative in closed form") {
    const Eigen::VectorXd x = Eigen::Vector2d(3.0, 4.0), step = Eigen::Vector2d(0.02, 0.02);
    const Eigen::MatrixXd J = jacobian(polar, x, step);
    CHECK_NEAR(J(0, 0), 0.6, 1e-9);
    CHECK_NEAR(J(0, 1), 0.8, 1e-9);
    CHECK_NEAR(J(1, 0), -0.16, 1e-9);
    CHECK_NEAR(J(1, 1), 0.12, 1e-9);
    // The error falls with the fourth power of the step; plain central differences leave its square.
    const double one = std::abs(jacobian(polar, x, 20.0 * step)(1, 0) + 0.16);
    const double half = std::abs(jacobian(polar, x, 10.0 * step)(1, 0) + 0.16);
    CHECK(one > 0.0);
    CHECK(half < one / 12.0);
}

TEST_CASE("a linear function passes the covariance on exactly, signs and shared parts included") {
    Eigen::MatrixXd A(2, 3);
    A << 1.0, -1.0, 0.0, 0.5, 0.5, 2.0;
    Eigen::MatrixXd V(3, 3);
    V << 4.0, 1.0, 0.0, 1.0, 9.0, -2.0, 0.0, -2.0, 1.0;
    const Uncertain x{Eigen::Vector3d(1.0, 2.0, 3.0), V};
    const Uncertain y = propagate([&](const Eigen::VectorXd& v) -> Eigen::VectorXd { return A * v; }, x);
    CHECK((y.value - A * x.value).norm() <= 1e-12);
    CHECK((y.covariance - A * V * A.transpose()).norm() <= 1e-12);
    CHECK_NEAR(y.standard()(0), std::sqrt(4.0 + 9.0 - 2.0), 1e-12);
    CHECK_NEAR(x.correlation()(0, 1), 1.0 / 6.0, 1e-15);
}

TEST_CASE("a value without uncertainty adds none") {
    Eigen::MatrixXd V = Eigen::MatrixXd::Zero(2, 2);
    V(1, 1) = 0.01;
    const Uncertain y = propagate(polar, {Eigen::Vector2d(3.0, 4.0), V});
    CHECK_NEAR(y.standard()(0), 0.08, 1e-6);
    const Uncertain x{Eigen::Vector2d(3.0, 4.0), V};
    CHECK(x.correlation() == Eigen::MatrixXd::Identity(2, 2));
}

TEST_CASE("the law of propagation agrees with a Monte Carlo of the same model") {
    Eigen::MatrixXd V(2, 2);
    V << 4e-4, 3e-4, 3e-4, 9e-4;
    const Uncertain x{Eigen::Vector2d(3.0, 4.0), V};
    const Uncertain law = propagate(polar, x), witness = monte_carlo(polar, x, 400'000, 1);
    // The spread of a variance from n trials is sqrt(2/n) of it, 0.0022: four of these.
    for (Eigen::Index i = 0; i < 2; ++i)
        for (Eigen::Index j = 0; j < 2; ++j)
            CHECK_NEAR(witness.covariance(i, j), law.covariance(i, j), 0.009 * law.standard()(i) * law.standard()(j));
}

TEST_CASE("what has no answer is refused, never NaN") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const Eigen::VectorXd x = Eigen::Vector2d(1.0, 1.0);
    const auto root = [](const Eigen::VectorXd& v) -> Eigen::VectorXd { return v.cwiseSqrt(); };
    CHECK_THROWS_AS(propagate(root, {x, Eigen::MatrixXd::Identity(2, 2) * 4.0}), std::domain_error);
    CHECK_THROWS_AS(propagate(root, {x, Eigen::MatrixXd::Identity(3, 3)}), std::invalid_argument);
    CHECK_THROWS_AS(propagate(root, {x, -Eigen::MatrixXd::Identity(2, 2)}), std::invalid_argument);
    CHECK_THROWS_AS(propagate(root, {x, nan * Eigen::MatrixXd::Identity(2, 2)}), std::invalid_argument);
    CHECK_THROWS_AS(jacobian(root, x, Eigen::VectorXd::Ones(3)), std::invalid_argument);
    CHECK_THROWS_AS(mean_of(Eigen::MatrixXd::Ones(1, 2)), std::invalid_argument);
}
