// A published line with prediction and inverse prediction, and published quantiles of Student's t. Tags: SEEN = read in
// a public source; DERIVED = two independent ways; RECALL = from memory, then recomputed.
#include "shimwise/math/prediction.hpp"

#include <vector>

#include "catch.hpp"
#include "shimwise/math/student.hpp"

using namespace shimwise;

// R's data set `cars` (Ezekiel, Methods of Correlation Analysis, 1930), 50 pairs of speed and stopping distance. SEEN:
// the data, lm(dist ~ speed) with its standard errors, predict() at speed 12. DERIVED: the inverse prediction for 60.
TEST_CASE("R's cars: a line, its prediction and its inverse prediction", "[published]") {
    const std::vector<double> speed = {4,  4,  7,  7,  8,  9,  10, 10, 10, 11, 11, 12, 12, 12, 12, 13, 13,
                                       13, 13, 14, 14, 14, 14, 15, 15, 15, 16, 16, 17, 17, 17, 18, 18, 18,
                                       18, 19, 19, 19, 20, 20, 20, 20, 20, 22, 23, 24, 24, 24, 24, 25};
    const std::vector<double> distance = {2,  10, 4,  22, 16, 10, 18, 26, 34, 17, 28, 14, 20, 24, 28,  26, 34,
                                          34, 46, 26, 36, 60, 80, 20, 26, 54, 32, 40, 32, 40, 50, 42,  56, 76,
                                          84, 36, 46, 68, 32, 48, 52, 56, 64, 66, 54, 70, 92, 93, 120, 85};
    const auto n = static_cast<Eigen::Index>(speed.size());
    REQUIRE(distance.size() == speed.size());
    Eigen::MatrixXd A(n, 2);
    A << Eigen::VectorXd::Ones(n), Eigen::Map<const Eigen::VectorXd>(speed.data(), n);
    const LinearFit fit = linear_fit(A, Eigen::Map<const Eigen::VectorXd>(distance.data(), n));
    const Scatter scatter = scatter_shown(fit);
    CHECK_NEAR(fit.x(0), -17.579094890510945, 1e-12);
    CHECK_NEAR(fit.x(1), 3.932408759124087, 1e-13);
    CHECK_NEAR(scatter.standard, 15.379586748819907, 1e-12);
    CHECK(scatter.degrees == 48);
    CHECK_NEAR(scatter.standard * std::sqrt(fit.cofactor(0, 0)), 6.758440169, 5e-10);
    CHECK_NEAR(scatter.standard * std::sqrt(fit.cofactor(1, 1)), 0.4155127767, 5e-11);

    const double k = scatter.factor(0.95);
    const Predicted at_12 = predict(fit, scatter, Eigen::Vector2d(1.0, 12.0));
    CHECK_NEAR(at_12.mean, 29.60981, 5e-6);
    CHECK_NEAR(at_12.mean - k * at_12.single_u, -1.749529, 5e-7);
    CHECK_NEAR(at_12.mean + k * at_12.single_u, 60.96915, 5e-6);
    CHECK_NEAR(at_12.mean - k * at_12.mean_u, 24.39514, 5e-6);
    CHECK_NEAR(at_12.mean + k * at_12.mean_u, 34.82448, 5e-6);

    const Eigen::Vector2d start(1.0, 0.0), along(0.0, 1.0);
    const Root mean = reaches(fit, scatter, start, along, 60.0, 0.95);
    REQUIRE(mean.known == Root::Known::between);
    CHECK_NEAR(mean.at, 19.728136, 5e-7);
    CHECK_NEAR(mean.low, 18.441916, 5e-7);
    CHECK_NEAR(mean.high, 21.423529, 5e-7);
    const Root single = reaches(fit, scatter, start, along, 60.0, 0.95, Of::single);
    REQUIRE(single.known == Root::Known::between);
    CHECK_NEAR(single.low, 11.748532, 5e-7);
    CHECK_NEAR(single.high, 28.116913, 5e-7);
}

// Critical values of Student's t, NIST/SEMATECH e-Handbook 1.3.6.7.2. RECALL, to the three digits printed there.
TEST_CASE("NIST table of Student's t", "[published]") {
    struct Row {
        int degrees;
        double above_0_05, above_0_025, above_0_01;
    };
    for (const Row& row : {Row{1, 6.314, 12.706, 31.821}, Row{2, 2.920, 4.303, 6.965}, Row{3, 2.353, 3.182, 4.541},
                           Row{10, 1.812, 2.228, 2.764}, Row{30, 1.697, 2.042, 2.457}, Row{100, 1.660, 1.984, 2.364}}) {
        CHECK_NEAR(student_quantile(0.95, row.degrees), row.above_0_05, 5e-4);
        CHECK_NEAR(student_quantile(0.975, row.degrees), row.above_0_025, 5e-4);
        CHECK_NEAR(student_quantile(0.99, row.degrees), row.above_0_01, 5e-4);
    }
}
