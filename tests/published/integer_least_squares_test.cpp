// Published whole-number least squares. Tags: SEEN = read in a public source; DERIVED = two independent ways.
#include "shimwise/math/integer_least_squares.hpp"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <iostream>

#include "catch.hpp"
#include "numpy_legacy.hpp"

using namespace shimwise;

namespace {

/// (x - a)' Q^-1 (x - a) as |A x - b|^2.
struct Problem {
    Eigen::MatrixXd A;
    Eigen::VectorXd b;

    double cost(const Eigen::VectorXd& x) const { return (A * x - b).squaredNorm(); }
};

Problem from_covariance(const Eigen::VectorXd& a, const Eigen::MatrixXd& Q) {
    const Eigen::MatrixXd L = Q.llt().matrixL();
    const Eigen::MatrixXd A = L.triangularView<Eigen::Lower>().solve(Eigen::MatrixXd::Identity(a.size(), a.size()));
    return {A, A * a};
}

Eigen::VectorXd vector(std::initializer_list<double> values) {
    Eigen::VectorXd v(static_cast<Eigen::Index>(values.size()));
    std::copy(values.begin(), values.end(), v.begin());
    return v;
}

Eigen::VectorXd rounded(const Eigen::VectorXd& v) { return v.array().round(); }

constexpr std::uint64_t plenty = 10'000'000;

}  // namespace

// de Jonge & Tiberius, The LAMBDA method for integer ambiguity estimation (Delft 1996), eq. 3.37. SEEN.
TEST_CASE("three correlated unknowns of de Jonge and Tiberius", "[published]") {
    const Eigen::VectorXd a = vector({5.450, 3.100, 2.970});
    Eigen::MatrixXd Q(3, 3);
    Q << 6.290, 5.978, 0.544, 5.978, 6.292, 2.340, 0.544, 2.340, 6.288;
    const Problem p = from_covariance(a, Q);

    const IntegerSearch found = integer_least_squares(p.A, p.b, sufficient_whole_numbers(p.A, p.b, 3), 3, plenty);
    REQUIRE(found.proven);
    REQUIRE(found.best.size() == 3);
    CHECK(found.best[0].x == vector({5, 3, 4}));
    CHECK(found.best[1].x == vector({6, 4, 4}));
    CHECK(found.best[2].x == vector({4, 2, 4}));
    CHECK_NEAR(found.best[0].cost, 0.2183310953369383, 1e-12);
    CHECK_NEAR(found.best[1].cost, 0.3072725757902666, 1e-12);
    CHECK_NEAR(found.best[2].cost, 0.5934096834668994, 1e-12);

    CHECK(rounded(a) == vector({5, 3, 3}));
    CHECK_NEAR(p.cost(rounded(a)), 1.24512562, 5e-9);  // rounding costs almost six times the optimum
}

// CVXPY documentation, example "Mixed-integer quadratic program" (prints 13.66000322824753, its solver's 3e-8 off).
// SEEN. In the box -1..1 and the second-best: DERIVED, two solvers.
TEST_CASE("twenty-five whole numbers of the CVXPY documentation", "[published]") {
    NumpyLegacy random(0);
    Problem p{Eigen::MatrixXd(40, 25), Eigen::VectorXd(40)};
    for (Eigen::Index i = 0; i < 40; ++i)
        for (Eigen::Index j = 0; j < 25; ++j) p.A(i, j) = random.rand();
    for (Eigen::Index i = 0; i < 40; ++i) p.b(i) = random.randn();
    REQUIRE(p.A(0, 0) == 0.5488135039273248);  // the first number after numpy.random.seed(0)
    const Eigen::VectorXd real = p.A.colPivHouseholderQr().solve(p.b);

    SECTION("without limits") {
        const IntegerSearch found = integer_least_squares(p.A, p.b, sufficient_whole_numbers(p.A, p.b, 2), 2, plenty);
        std::cout << "25 whole numbers, no limits: " << found.nodes << " nodes\n";
        REQUIRE(found.proven);
        REQUIRE(found.best.size() == 2);
        CHECK(found.best[0].x ==
              vector({-1, 1, 1, -1, 0, 0, -1, -2, 0, 0, 0, 1, 1, 0, 1, 0, -1, -1, -1, 0, 2, -1, 2, 0, -1}));
        CHECK_NEAR(found.best[0].cost, 13.660003257778833, 1e-11);
        CHECK_NEAR(found.best[1].cost, 14.061564804663988, 1e-11);
        CHECK(found.nodes < 20'000);
        CHECK_NEAR(p.cost(rounded(real)), 14.814334981789674, 1e-11);
    }
    SECTION("limits bind") {
        const std::vector<AllowedValues> box(25, whole_numbers(-1, 1));
        const IntegerSearch found = integer_least_squares(p.A, p.b, box, 2, plenty);
        std::cout << "25 whole numbers, -1..1: " << found.nodes << " nodes\n";
        REQUIRE(found.proven);
        REQUIRE(found.best.size() == 2);
        CHECK_NEAR(found.best[0].cost, 16.1920478870246, 1e-11);
        CHECK_NEAR(found.best[1].cost, 16.63719883398024, 1e-11);
        CHECK(found.nodes < 20'000);
        CHECK_NEAR(p.cost(rounded(real).cwiseMax(-1.0).cwiseMin(1.0)), 33.83586, 5e-6);
    }
}

// Input: a public satellite-positioning test of six correlated ambiguities. SEEN. Answers: DERIVED twice.
TEST_CASE("six correlated unknowns", "[published]") {
    const Eigen::VectorXd a = vector({-9.75792, 22.1086, -1.98908, 3.36186, 23.2148, 7.75073});
    Eigen::MatrixXd upper(6, 6);
    upper << 0.0977961, 0.0161137, 0.0468261, 0.0320695, 0.080857, 0.0376408,  //
        0, 0.0208976, 0.0185378, 0.00290225, 0.0111409, 0.0247762,             //
        0, 0, 0.0435412, 0.0227732, 0.0383208, 0.0382978,                      //
        0, 0, 0, 0.0161712, 0.0273471, 0.0154774,                              //
        0, 0, 0, 0, 0.0672121, 0.0294637,                                      //
        0, 0, 0, 0, 0, 0.0392536;
    const Problem p = from_covariance(a, upper.selfadjointView<Eigen::Upper>());

    const IntegerSearch found = integer_least_squares(p.A, p.b, sufficient_whole_numbers(p.A, p.b, 2), 2, plenty);
    REQUIRE(found.proven);
    REQUIRE(found.best.size() == 2);
    CHECK(found.best[0].x == vector({-9, 21, -2, 4, 24, 7}));
    CHECK(found.best[1].x == vector({-5, 25, 2, 5, 27, 12}));
    CHECK_NEAR(found.best[0].cost, 112.54127, 5e-6);
    CHECK_NEAR(found.best[1].cost, 733.4111, 5e-5);
    CHECK_NEAR(p.cost(rounded(a)), 7448.30, 5e-3);

    // A box about the rounded point proves nothing: its second is another one, and dearer.
    std::vector<AllowedValues> box;
    for (const double centre : rounded(a)) {
        const auto c = static_cast<std::int64_t>(centre);
        box.push_back(whole_numbers(c - 3, c + 3));
    }
    const IntegerSearch boxed = integer_least_squares(p.A, p.b, box, 2, plenty);
    REQUIRE(boxed.best.size() == 2);
    CHECK(boxed.best[0].x == found.best[0].x);
    CHECK(boxed.best[1].x != found.best[1].x);
    CHECK(boxed.best[1].cost > found.best[1].cost + 1.0);
}
