// SEEN = read in a public source, DERIVED = two independent ways.
#include "shimwise/math/box_probability.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

#include "catch.hpp"
#include "numpy_legacy.hpp"
#include "size.hpp"

using namespace shimwise;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

/// Unit variances, every correlation r.
MatrixXd equal(Eigen::Index n, double r) { return MatrixXd::Constant(n, n, r) + (1.0 - r) * MatrixXd::Identity(n, n); }

BoxProbability in_box(const MatrixXd& covariance, double low, double high, double accuracy = 1e-4) {
    const Eigen::Index n = covariance.rows();
    return probability_in_box(VectorXd::Zero(n), covariance, VectorXd::Constant(n, low), VectorXd::Constant(n, high),
                              accuracy);
}

double between(double low, double high) {
    return 0.5 * (std::erf(high / std::sqrt(2.0)) - std::erf(low / std::sqrt(2.0)));
}

}  // namespace

TEST_CASE("bivariate normal probabilities of NBS AMS 50") {  // SEEN as tabulated publicly, recomputed
    const VectorXd mean = VectorXd::Zero(2), none = VectorXd::Constant(2, -infinite);
    const auto check = [&](double x, double y, double expected) {
        const BoxProbability found = probability_in_box(mean, equal(2, 0.5), none, Eigen::Vector2d(x, y));
        CHECK_NEAR(found.value, expected, 1e-12);
        CHECK(found.error <= 1e-10);
    };
    check(1.0, 1.0, 0.7452035868467497);
    check(-1.0, -1.0, 0.06251409470966383);
    check(-2.0, 1.0, 0.02260327218216495);
    CHECK_NEAR(in_box(equal(2, 0.5), -1.0, 1.0).value, 0.497971777839208, 1e-12);
    CHECK_NEAR(in_box(equal(2, 0.0), -1.0, 1.0).value, between(-1.0, 1.0) * between(-1.0, 1.0), 1e-15);
}

TEST_CASE("boxes under equal correlations") {  // DERIVED: one integral over the common part, and a lattice
    const auto check = [](Eigen::Index n, double expected) {
        for (const double accuracy : {1e-4, 1e-5}) {
            const BoxProbability found = in_box(equal(n, 0.5), -2.0, 2.0, accuracy);
            CHECK(found.error > 0.0);
            CHECK(found.error <= accuracy);
            CHECK_NEAR(found.value, expected, found.error);
            CHECK(in_box(equal(n, 0.5), -2.0, 2.0, accuracy).value == found.value);
        }
        CHECK_NEAR(in_box(equal(n, 0.5), -2.0, 2.0).value, expected, 1e-4);
    };
    check(3, 0.885086220785);
    check(6, 0.808936505901);
}

TEST_CASE("a box of forty values, more than the lattice's table has steps for") {  // DERIVED: one integral
    const double r = 0.2, half = 3.0;
    double expected = 0.0;
    const int steps = 4000;  // Simpson's rule over the part that all share
    for (int i = 0; i <= steps; ++i) {
        const double z = -10.0 + 20.0 * i / steps, shared = std::sqrt(r) * z, own = std::sqrt(1.0 - r);
        const double weight = i == 0 || i == steps ? 1.0 : (i % 2 ? 4.0 : 2.0);
        expected += weight / 3.0 * 20.0 / steps * std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::acos(-1.0)) *
                    std::pow(between((-half - shared) / own, (half - shared) / own), 40);
    }
    const BoxProbability found = in_box(equal(40, r), -half, half, 1e-3);
    CHECK(found.error <= 1e-3);
    CHECK_NEAR(found.value, expected, found.error);
    CHECK(expected > 0.8);
    CHECK(expected < 0.95);
}

TEST_CASE("the share of an orthant under three correlations is Sheppard's") {  // RECALL: W. F. Sheppard, 1899
    MatrixXd correlation = MatrixXd::Identity(3, 3);
    correlation(0, 1) = correlation(1, 0) = 0.3;
    correlation(0, 2) = correlation(2, 0) = -0.5;
    correlation(1, 2) = correlation(2, 1) = 0.1;
    const double expected = 0.125 + (std::asin(0.3) + std::asin(-0.5) + std::asin(0.1)) / (4.0 * std::acos(-1.0));
    const BoxProbability found = in_box(correlation, 0.0, infinite);
    CHECK_NEAR(found.value, expected, found.error);
}

TEST_CASE("a value that follows from two others takes no direction of its own") {
    // x, y and their sum: the octagon's share, from both sides of its corners.
    MatrixXd A(3, 2);
    A << 1.0, 0.0, 0.0, 1.0, 1.0, 1.0;
    const Eigen::Vector3d most(1.0, 1.0, 1.2);
    const BoxProbability found = probability_in_box(VectorXd::Zero(3), A * A.transpose(), -most, most);
    double expected = 0.0;
    const int steps = 200000;  // Simpson's rule over x
    for (int i = 0; i <= steps; ++i) {
        const double x = -1.0 + 2.0 * i / steps;
        const double inner = between(std::max(-1.0, -1.2 - x), std::min(1.0, 1.2 - x));
        const double weight = i == 0 || i == steps ? 1.0 : (i % 2 ? 4.0 : 2.0);
        expected += weight / 3.0 * 2.0 / steps * inner * std::exp(-0.5 * x * x) / std::sqrt(2.0 * std::acos(-1.0));
    }
    CHECK_NEAR(found.value, expected, 1e-10);
    CHECK(found.error <= 1e-10);
    for (const double r : {1.0, 1.0 - 1e-12})
        CHECK_NEAR(in_box(equal(2, r), -1.0, 0.7).value, between(-1.0, 0.7), 1e-6);
}

TEST_CASE("blocks that do not correlate multiply") {
    MatrixXd covariance = MatrixXd::Zero(5, 5);
    covariance.topLeftCorner(2, 2) = equal(2, 0.5);
    covariance.bottomRightCorner(3, 3) = 4.0 * equal(3, -0.3);
    const double two = in_box(equal(2, 0.5), -1.5, 1.5).value;
    const BoxProbability three = in_box(equal(3, -0.3), -0.75, 0.75);
    const BoxProbability found = in_box(covariance, -1.5, 1.5);
    CHECK_NEAR(found.value, two * three.value, 1e-15);
    CHECK_NEAR(found.error, two * three.error, 1e-9);
    Eigen::PermutationMatrix<5> mixed;
    mixed.indices() << 3, 0, 4, 1, 2;
    CHECK_NEAR(in_box(mixed * covariance * mixed.transpose(), -1.5, 1.5).value, found.value, found.error);
}

TEST_CASE("in which order values stand changes no chance") {
    const int cases = test_size("orders of correlated values", 12, 120);
    int likely = 0, unlikely = 0;
    for (int index = 0; index < cases; ++index) {
        NumpyLegacy random(60 + static_cast<unsigned>(index));
        const Eigen::Index n = 8 + index % 6;
        // A few common causes and some scatter of their own, as readings have; every third singular.
        const Eigen::Index causes = 3 + index % 4;
        MatrixXd A(n, causes);
        VectorXd mean(n), half(n);
        for (Eigen::Index i = 0; i < n; ++i) {
            for (Eigen::Index k = 0; k < causes; ++k) A(i, k) = random.randn();
            mean(i) = 0.5 * random.randn();
            half(i) = 1.0 + 4.0 * random.rand();
        }
        MatrixXd covariance = A * A.transpose();
        if (index % 3) covariance += 0.3 * MatrixXd::Identity(n, n);
        VectorXd low = -half, high = half;
        low(0) = -infinite;
        high(n - 1) = infinite;
        const BoxProbability one = probability_in_box(mean, covariance, low, high, 1e-3);
        likely += one.value > 0.05;
        unlikely += one.value < 0.5;
        CAPTURE(index, n, one.value, one.error);
        for (int order = 0; order < 3; ++order) {
            Eigen::PermutationMatrix<Eigen::Dynamic> mixed(n);
            mixed.setIdentity();
            for (Eigen::Index i = n - 1; i > 0; --i)
                mixed.applyTranspositionOnTheRight(
                    i, static_cast<Eigen::Index>(random.rand() * static_cast<double>(i + 1)));
            const MatrixXd turned = mixed * covariance * mixed.transpose();
            const MatrixXd symmetric = 0.5 * (turned + turned.transpose());
            const BoxProbability other = probability_in_box(mixed * mean, symmetric, mixed * low, mixed * high, 1e-3);
            CHECK_NEAR(other.value, one.value, one.error + other.error);
            CHECK(other.error <= 2e-3);
        }
    }
    CHECK(likely > cases / 2);
    CHECK(unlikely > cases / 4);
}

TEST_CASE("a value without variance is certain, and no value lies within") {
    const MatrixXd covariance = Eigen::Vector2d(0.0, 1.0).asDiagonal();
    const VectorXd low = VectorXd::Constant(2, -0.1), high = Eigen::Vector2d(0.1, infinite);
    CHECK_NEAR(probability_in_box(Eigen::Vector2d(0.1, 0.0), covariance, low, high).value, 0.5398278372770290, 1e-12);
    CHECK(probability_in_box(Eigen::Vector2d(0.2, 0.0), covariance, low, high).value == 0.0);
    CHECK(in_box(MatrixXd(0, 0), 0.0, 0.0).value == 1.0);
}

TEST_CASE("what is no covariance or no box is refused") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto refused = [](const MatrixXd& covariance, double low, double high, const char* words) {
        std::string said;
        try {
            in_box(covariance, low, high);
        } catch (const std::invalid_argument& error) {
            said = error.what();
        }
        INFO(said << ", expected " << words);
        CHECK(said.find(words) != std::string::npos);
    };
    refused(MatrixXd::Constant(1, 1, infinite), 0.0, 1.0, "finite");
    refused(equal(1, 0.0), 1.0, 0.0, "above its upper");
    refused(equal(1, 0.0), nan, 0.0, "not a number");
    refused(-equal(1, 0.0), 0.0, 1.0, "negative variance");
    MatrixXd skew = equal(2, 0.5);
    skew(0, 1) = 0.4;
    refused(skew, 0.0, 1.0, "not symmetric");
    refused(equal(2, 1.5), 0.0, 1.0, "negative variance in some direction");
    MatrixXd twisted = equal(3, 0.9);
    twisted(0, 2) = twisted(2, 0) = -0.9;
    refused(twisted, 0.0, 1.0, "negative variance in some direction");
    CHECK_THROWS_AS(probability_in_box(VectorXd::Zero(2), equal(1, 0.0), VectorXd::Zero(2), VectorXd::Zero(2)),
                    std::invalid_argument);
    CHECK_THROWS_AS(probability_in_box(VectorXd::Zero(1), equal(1, 0.0), VectorXd::Zero(2), VectorXd::Zero(1)),
                    std::invalid_argument);
}
