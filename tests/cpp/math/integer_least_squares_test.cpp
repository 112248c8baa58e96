#include "shimwise/math/integer_least_squares.hpp"

#include <cmath>
#include <iostream>
#include <limits>
#include <stdexcept>

#include "catch.hpp"
#include "numpy_legacy.hpp"

using namespace shimwise;

namespace {

constexpr std::uint64_t plenty = 10'000'000;

/// Every combination, cheapest first: the oracle.
std::vector<double> every_cost(const Eigen::MatrixXd& A, const Eigen::VectorXd& b,
                               const std::vector<AllowedValues>& allowed) {
    std::vector<double> costs;
    std::vector<std::size_t> at(allowed.size(), 0);
    Eigen::VectorXd x(A.cols());
    for (;;) {
        for (std::size_t i = 0; i < at.size(); ++i) x(static_cast<Eigen::Index>(i)) = allowed[i][at[i]];
        costs.push_back((A * x - b).squaredNorm());
        std::size_t i = 0;
        while (i < at.size() && ++at[i] == allowed[i].size()) at[i++] = 0;
        if (i == at.size()) break;
    }
    std::sort(costs.begin(), costs.end());
    return costs;
}

int between(NumpyLegacy& random, int least, int most) {
    return least + static_cast<int>(random.rand() * (most - least + 1));
}

struct Case {
    Eigen::MatrixXd A;
    Eigen::VectorXd b;
    std::vector<AllowedValues> allowed;
};

/// One to six unknowns, whole numbers or a set with gaps or a single value; the real optimum inside, at or far outside
/// the limits; fewer rows than unknowns are given a ridge.
Case random_case(unsigned index) {
    NumpyLegacy random(1000 + index);
    const int n = between(random, 1, 6), rows = between(random, 1, 8);
    const bool ridge = rows < n;
    Case c{Eigen::MatrixXd::Zero(rows + (ridge ? n : 0), n), Eigen::VectorXd::Zero(rows + (ridge ? n : 0)), {}};
    const double reach = std::pow(10.0, between(random, -1, 2));
    for (int i = 0; i < rows; ++i) {
        for (int j = 0; j < n; ++j) c.A(i, j) = random.randn() + 2.0;  // columns alike: rounding fails
        c.b(i) = reach * random.randn();
    }
    if (ridge) c.A.bottomRows(n).setIdentity() *= 1e-3;
    for (int j = 0; j < n; ++j) {
        AllowedValues values = {static_cast<double>(between(random, -3, 0))};
        const bool gaps = random.rand() < 0.5;
        const int count = between(random, 1, 6);
        while (static_cast<int>(values.size()) < count)
            values.push_back(values.back() + (gaps ? 0.05 + 2.0 * random.rand() : 1.0));
        c.allowed.push_back(values);
    }
    return c;
}

}  // namespace

TEST_CASE("the search finds what trying everything finds") {
    int limits_bind = 0, under_determined = 0;
    for (unsigned index = 0; index < 400; ++index) {
        const Case c = random_case(index);
        const std::vector<double> oracle = every_cost(c.A, c.b, c.allowed);
        const IntegerSearch found = integer_least_squares(c.A, c.b, c.allowed, 5, plenty);
        CAPTURE(index, c.A.cols(), found.nodes);
        REQUIRE(found.proven);
        REQUIRE(found.best.size() == std::min<std::size_t>(5, oracle.size()));
        for (std::size_t i = 0; i < found.best.size(); ++i) {
            const IntegerSolution& s = found.best[i];
            CHECK_NEAR(s.cost, oracle[i], 1e-9 * (1.0 + oracle[i]));
            CHECK_NEAR((c.A * s.x - c.b).squaredNorm(), s.cost, 1e-9 * (1.0 + s.cost));
            for (std::size_t j = 0; j < c.allowed.size(); ++j) {
                const double value = s.x(static_cast<Eigen::Index>(j));
                CHECK(std::count(c.allowed[j].begin(), c.allowed[j].end(), value) == 1);
                limits_bind += value == c.allowed[j].front() || value == c.allowed[j].back();
            }
            for (std::size_t j = 0; j < i; ++j) CHECK(found.best[j].x != s.x);
        }
        under_determined += c.A.rows() > c.A.cols() && c.A(c.A.rows() - 1, 0) == 0.0;
    }
    CHECK(limits_bind > 400);
    CHECK(under_determined > 50);
}

TEST_CASE("columns that nearly depend on each other are searched to the end") {
    for (unsigned index = 0; index < 60; ++index) {
        NumpyLegacy random(9000 + index);
        const double apart = std::pow(10.0, -between(random, 1, 11));
        Eigen::MatrixXd A(5, 4);
        Eigen::VectorXd b(5);
        for (int i = 0; i < 5; ++i) {
            for (int j = 0; j < 4; ++j) A(i, j) = random.randn();
            b(i) = 6.0 * random.randn();
        }
        A.rightCols(2) = A.leftCols(2) + apart * A.rightCols(2);
        const std::vector<AllowedValues> allowed(4, whole_numbers(-3, 3));
        const std::vector<double> oracle = every_cost(A, b, allowed);
        const IntegerSearch found = integer_least_squares(A, b, allowed, 5, plenty);
        CAPTURE(index, apart);
        REQUIRE(found.proven);
        REQUIRE(found.best.size() == 5);
        for (std::size_t i = 0; i < 5; ++i) CHECK_NEAR(found.best[i].cost, oracle[i], 1e-9 * (1.0 + oracle[i]));
    }
}

TEST_CASE("a sufficient range holds every whole number that is as cheap") {
    for (unsigned index = 0; index < 100; ++index) {
        NumpyLegacy random(5000 + index);
        const int n = between(random, 1, 3);
        Eigen::MatrixXd A(n + 1, n);
        Eigen::VectorXd b(n + 1);
        for (int i = 0; i <= n; ++i) {
            for (int j = 0; j < n; ++j) A(i, j) = random.randn() + 1.0;
            b(i) = 5.0 * random.randn();
        }
        const std::vector<AllowedValues> ranges = sufficient_whole_numbers(A, b, 3);
        const IntegerSearch found = integer_least_squares(A, b, ranges, 3, plenty);
        REQUIRE(found.best.size() == 3);
        std::vector<AllowedValues> wider;  // the oracle: ranges widened by a good margin
        for (const AllowedValues& r : ranges)
            wider.push_back(
                whole_numbers(static_cast<std::int64_t>(r.front()) - 8, static_cast<std::int64_t>(r.back()) + 8));
        const IntegerSearch oracle = integer_least_squares(A, b, wider, 3, plenty);
        CAPTURE(index);
        for (std::size_t i = 0; i < 3; ++i) CHECK_NEAR(found.best[i].cost, oracle.best[i].cost, 1e-9);
    }
}

TEST_CASE("a whole car's size: limits bind, the proof finishes") {
    NumpyLegacy random(77);
    const int n = 20, rows = 12;
    Eigen::MatrixXd A = Eigen::MatrixXd::Zero(rows + n, n);
    Eigen::VectorXd b = Eigen::VectorXd::Zero(rows + n);
    for (int i = 0; i < rows; ++i) {
        for (int j = 0; j < n; ++j) A(i, j) = (j % rows == i ? 4.0 : 0.4) * random.randn();
        b(i) = 8.0 * random.randn();
    }
    A.bottomRows(n).setIdentity() *= 1e-3;
    const std::vector<AllowedValues> allowed(n, whole_numbers(-1, 1));
    const IntegerSearch found = integer_least_squares(A, b, allowed, 2, plenty);
    std::cout << "20 unknowns, 12 outputs, -1..1: " << found.nodes << " nodes\n";
    CHECK(found.proven);
    REQUIRE(found.best.size() == 2);
    // No single or double one-step change is cheaper.
    for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j)
            for (int s : {-1, 1})
                for (int t : {-1, 0, 1}) {
                    Eigen::VectorXd x = found.best[0].x;
                    x(i) += s;
                    x(j) += t;
                    if (x.cwiseAbs().maxCoeff() > 1.0) continue;
                    CHECK((A * x - b).squaredNorm() >= found.best[0].cost - 1e-9);
                }
}

TEST_CASE("the node limit ends the search and says so") {
    const Case c = random_case(3);
    const IntegerSearch found = integer_least_squares(c.A, c.b, c.allowed, 1, 1);
    CHECK_FALSE(found.proven);
    CHECK(found.best.size() == 1);
}

TEST_CASE("what cannot be solved is refused") {
    const Eigen::MatrixXd A = Eigen::MatrixXd::Identity(2, 2);
    const Eigen::VectorXd b = Eigen::VectorXd::Ones(2);
    const AllowedValues one = {0.0, 1.0};
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(integer_least_squares(A, b, {one}, 1, plenty), std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(A, b, {one, {}}, 1, plenty), std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(A, b, {one, {1.0, 0.0}}, 1, plenty), std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(A, b, {one, {1.0, 1.0}}, 1, plenty), std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(A, b, {one, {nan}}, 1, plenty), std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(A, b, {one, one}, 0, plenty), std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(A * nan, b, {one, one}, 1, plenty), std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(Eigen::MatrixXd::Ones(2, 2), b, {one, one}, 1, plenty),
                    std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(Eigen::MatrixXd::Ones(1, 2), Eigen::VectorXd::Ones(1), {one, one}, 1, plenty),
                    std::invalid_argument);
    CHECK_THROWS_AS(integer_least_squares(A, 1e200 * b, {one, one}, 1, plenty), std::invalid_argument);
    CHECK_THROWS_AS(whole_numbers(1, 0), std::invalid_argument);
}
