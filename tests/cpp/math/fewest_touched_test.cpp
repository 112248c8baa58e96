#include "shimwise/math/fewest_touched.hpp"

#include <cmath>
#include <iostream>
#include <limits>
#include <stdexcept>

#include "catch.hpp"
#include "numpy_legacy.hpp"
#include "size.hpp"

using namespace shimwise;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr std::uint64_t plenty = 10'000'000;
constexpr double endless = std::numeric_limits<double>::infinity();

struct Case {
    MatrixXd A;
    VectorXd low, high, price;
    std::vector<AllowedValues> allowed;

    TouchedSearch solved(std::uint64_t limit = plenty) const {
        return fewest_touched(A, low, high, allowed, price, limit);
    }
    bool inside(const VectorXd& x) const {
        const VectorXd u = A * x;
        return ((u - low).array() >= -1e-10).all() && ((u - high).array() <= 1e-10).all();
    }
    double paid(const VectorXd& x) const { return (x.array() != 0.0).select(price.array(), 0.0).sum(); }
    double distance(const VectorXd& x) const {
        double sum = 0.0;
        for (Index r = 0; r < A.rows(); ++r)
            if (std::isfinite(low(r)) && std::isfinite(high(r)))
                sum += std::pow(A.row(r).dot(x) - 0.5 * (low(r) + high(r)), 2);
        return sum;
    }
};

/// Every combination: the cheapest inside, then nearest to the middle, then shortest.
std::optional<TouchedChoice> every(const Case& c) {
    std::optional<TouchedChoice> best;
    std::vector<std::size_t> at(c.allowed.size(), 0);
    VectorXd x(c.A.cols());
    for (;;) {
        for (std::size_t i = 0; i < at.size(); ++i) x(static_cast<Index>(i)) = c.allowed[i][at[i]];
        if (c.inside(x)) {
            const TouchedChoice found{x, c.paid(x), c.distance(x)};
            const auto order = [](const TouchedChoice& a, const TouchedChoice& b) {
                if (std::abs(a.price - b.price) > 1e-9) return a.price < b.price;
                if (std::abs(a.distance - b.distance) > 1e-9 * (a.distance + b.distance))
                    return a.distance < b.distance;
                return a.x.squaredNorm() < b.x.squaredNorm() * (1.0 - 1e-9);
            };
            if (!best || order(found, *best)) best = found;
        }
        std::size_t i = 0;
        while (i < at.size() && ++at[i] == c.allowed[i].size()) at[i++] = 0;
        if (i == at.size()) return best;
    }
}

int between(NumpyLegacy& random, int least, int most) {
    return least + static_cast<int>(random.rand() * (most - least + 1));
}

AllowedValues random_list(NumpyLegacy& random) {
    const bool gaps = random.rand() < 0.3;
    AllowedValues values;
    const int count = between(random, 1, 5);
    double value = gaps ? -2.0 + random.rand() : between(random, -3, 1);
    for (int i = 0; i < count; ++i, value += gaps ? 0.05 + 1.5 * random.rand() : 1.0) values.push_back(value);
    if (gaps && random.rand() < 0.7) values.push_back(0.0);
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    return values;
}

/// One to six unknowns, one to five outputs; windows about what some choice makes or anywhere, of all widths, exact and
/// open ones among them; prices that tie, and such of nothing.
Case random_case(unsigned index) {
    NumpyLegacy random(3000 + index);
    const int n = between(random, 1, 6), rows = between(random, 1, 5);
    Case c{MatrixXd(rows, n), VectorXd(rows), VectorXd(rows), VectorXd(n), {}};
    const double alike = between(random, 0, 2);
    VectorXd some(n);
    for (int i = 0; i < n; ++i) {
        for (int r = 0; r < rows; ++r) c.A(r, i) = std::pow(10.0, r % 3) * (random.randn() + alike);
        c.price(i) = random.rand() < 0.7 ? between(random, 0, 4) : 5.0 * random.rand();
        c.allowed.push_back(random_list(random));
        const int values = static_cast<int>(c.allowed.back().size());
        some(i) = c.allowed.back()[static_cast<std::size_t>(between(random, 0, values - 1))];
    }
    const bool anywhere = random.rand() < 0.3;
    for (int r = 0; r < rows; ++r) {
        const double size = std::pow(10.0, r % 3);
        const double middle = anywhere ? 3.0 * size * random.randn() : c.A.row(r).dot(some);
        const double width = random.rand() < 0.1 ? 0.0 : size * std::pow(10.0, random.rand() * 2.0 - 1.5);
        const double kind = random.rand(), off = random.rand();
        c.low(r) = kind < 0.15 ? -endless : middle - off * width;
        c.high(r) = kind > 0.1 && kind < 0.25 ? endless : middle + (1.0 - off) * width;
    }
    return c;
}

using Unknowns = std::vector<Index>;

/// Every set that holds a choice inside, in the order in which they are asked about.
std::vector<Unknowns> sets_in_order(const Case& c) {
    std::vector<Unknowns> sets;
    std::vector<std::size_t> at(c.allowed.size(), 0);
    VectorXd x(c.A.cols());
    for (;;) {
        for (std::size_t i = 0; i < at.size(); ++i) x(static_cast<Index>(i)) = c.allowed[i][at[i]];
        Unknowns touched;
        for (Index i = 0; i < x.size(); ++i)
            if (x(i) != 0.0) touched.push_back(i);
        if (c.inside(x)) sets.push_back(touched);
        std::size_t i = 0;
        while (i < at.size() && ++at[i] == c.allowed[i].size()) at[i++] = 0;
        if (i == at.size()) break;
    }
    std::sort(sets.begin(), sets.end());
    sets.erase(std::unique(sets.begin(), sets.end()), sets.end());
    const auto paid = [&](const Unknowns& set) { return c.price(set).sum(); };
    std::stable_sort(sets.begin(), sets.end(), [&](const Unknowns& a, const Unknowns& b) {
        if (std::abs(paid(a) - paid(b)) > 1e-9) return paid(a) < paid(b);
        return a.size() < b.size();
    });
    return sets;
}

FirstTouchedSet first_set(const Case& c, const Accepts& accepts, std::uint64_t limit = plenty) {
    return first_touched_set(c.A, c.low, c.high, c.allowed, c.price, accepts, limit);
}

}  // namespace

TEST_CASE("the fewest touched are what trying everything finds") {
    int met = 0, not_met = 0, always_touched = 0;
    const int cases = test_size("fewest touched against all combinations", 400, 4000);
    for (int index = 0; index < cases; ++index) {
        const Case c = random_case(static_cast<unsigned>(index));
        const std::optional<TouchedChoice> oracle = every(c);
        const TouchedSearch found = c.solved();
        CAPTURE(index, c.A.cols(), found.nodes);
        REQUIRE(found.proven);
        REQUIRE(found.best.has_value() == oracle.has_value());
        (oracle ? met : not_met) += 1;
        for (const AllowedValues& values : c.allowed)
            always_touched += std::count(values.begin(), values.end(), 0) == 0;
        if (!oracle) continue;
        CHECK(c.inside(found.best->x));
        CHECK_NEAR(found.best->x.squaredNorm(), oracle->x.squaredNorm(), 1e-9);  // one x only, but for full ties
        CHECK_NEAR(found.best->price, oracle->price, 1e-12);
        CHECK_NEAR(found.best->distance, oracle->distance, 1e-9 * (1.0 + oracle->distance));
    }
    CHECK(met > cases / 3);
    CHECK(not_met > cases / 10);
    CHECK(always_touched > cases / 10);
}

TEST_CASE("the first touched set is the first that is accepted of all sets in order") {
    int accepted = 0, none = 0, refused_before = 0;
    const int cases = test_size("first touched set against all sets", 400, 4000);
    for (int index = 0; index < cases; ++index) {
        const Case c = random_case(static_cast<unsigned>(index));
        const std::vector<Unknowns> sets = sets_in_order(c);
        // Any rule will do: here, of those that hold a choice, some by their unknowns.
        const auto rule = [&](const Unknowns& set) {
            Index sum = index;
            for (const Index i : set) sum += 3 * i + 1;
            return sum % 3 != 0;
        };
        const auto expected = std::find_if(sets.begin(), sets.end(), rule);
        std::vector<Unknowns> asked;
        const FirstTouchedSet found = first_set(c, [&](const Unknowns& set) {
            asked.push_back(set);
            return rule(set) && std::find(sets.begin(), sets.end(), set) != sets.end();
        });
        CAPTURE(index, c.A.cols(), found.nodes);
        REQUIRE(found.proven);
        REQUIRE(found.set.has_value() == (expected != sets.end()));
        for (std::size_t i = 1; i < asked.size(); ++i) {
            const double before = c.price(asked[i - 1]).sum(), price = c.price(asked[i]).sum();
            CHECK((before < price + 1e-9));
            if (std::abs(before - price) < 1e-12) CHECK(asked[i - 1].size() <= asked[i].size());
        }
        none += !found.set;
        if (!found.set) continue;
        CHECK(*found.set == *expected);
        CHECK(asked.back() == *expected);
        CHECK_NEAR(found.price, c.price(*expected).sum(), 1e-12);
        ++accepted;
        refused_before += asked.size() > 1;
    }
    CHECK(accepted > cases / 3);
    CHECK(none > cases / 10);
    CHECK(refused_before > cases / 10);
}

TEST_CASE("sets of one price are asked about with the fewest unknowns first, then by the unknowns") {
    const VectorXd price = Eigen::Vector4d(3.0, 1.0, 1.0, 2.0), far = VectorXd::Constant(4, 10.0);
    const std::vector<AllowedValues> allowed(4, whole_numbers(-1, 1));
    std::vector<Unknowns> asked;
    const FirstTouchedSet none = first_touched_set(
        MatrixXd::Identity(4, 4), -far, far, allowed, price,
        [&](const Unknowns& set) {
            asked.push_back(set);
            return false;
        },
        plenty);
    CHECK(none.proven);
    CHECK_FALSE(none.set);
    CHECK(asked == std::vector<Unknowns>{{},
                                         {1},
                                         {2},
                                         {3},
                                         {1, 2},
                                         {0},
                                         {1, 3},
                                         {2, 3},
                                         {0, 1},
                                         {0, 2},
                                         {1, 2, 3},
                                         {0, 3},
                                         {0, 1, 2},
                                         {0, 1, 3},
                                         {0, 2, 3},
                                         {0, 1, 2, 3}});
}

TEST_CASE("the first set that holds a choice costs what the fewest touched cost") {
    for (unsigned index = 0; index < 100; ++index) {
        const Case c = random_case(index);
        const std::vector<Unknowns> sets = sets_in_order(c);
        const FirstTouchedSet found =
            first_set(c, [&](const Unknowns& set) { return std::count(sets.begin(), sets.end(), set) > 0; });
        const TouchedSearch fewest = c.solved();
        CAPTURE(index);
        REQUIRE(found.set.has_value() == fewest.best.has_value());
        if (found.set) CHECK_NEAR(found.price, fewest.best->price, 1e-12);
    }
}

TEST_CASE("the limit of the work ends the search for a first set and says so") {
    const Case c = random_case(6);
    const auto any = [](const Unknowns&) { return true; };
    REQUIRE(first_set(c, any).set);
    CHECK_FALSE(first_set(c, any, 0).proven);
    CHECK_FALSE(first_set(c, any, 0).set);
    CHECK(first_set(c, any, 1).nodes <= 1);
    CHECK_THROWS_AS(first_set(c, {}), std::invalid_argument);
}

TEST_CASE("a mirrored problem has the mirrored answer") {
    for (unsigned index = 0; index < 100; ++index) {
        const Case c = random_case(index);
        Case mirrored = c;
        for (Index i = 0; i < c.A.cols(); ++i) {
            const Index other = c.A.cols() - 1 - i;
            mirrored.A.col(other) = c.A.col(i);
            mirrored.price(other) = c.price(i);
            mirrored.allowed[static_cast<std::size_t>(other)] = c.allowed[static_cast<std::size_t>(i)];
        }
        const MatrixXd turned = -mirrored.A.colwise().reverse();
        mirrored.A = turned;
        mirrored.low = -c.high.reverse();
        mirrored.high = -c.low.reverse();
        const TouchedSearch found = c.solved(), other = mirrored.solved();
        CAPTURE(index);
        REQUIRE(found.best.has_value() == other.best.has_value());
        if (found.best) CHECK(VectorXd(other.best->x.reverse()) == found.best->x);
    }
}

TEST_CASE("a whole car's sets are searched to the end") {
    NumpyLegacy random(11);
    const int n = 16, rows = 10;
    Case c{MatrixXd(rows, n), VectorXd(rows), VectorXd(rows), VectorXd(n), {}};
    for (int i = 0; i < n; ++i) {
        for (int r = 0; r < rows; ++r) c.A(r, i) = (i % rows == r ? 2.0 : 0.3) * random.randn();
        c.price(i) = between(random, 2, 12);
        c.allowed.push_back(whole_numbers(-4, 4));
    }
    for (int r = 0; r < rows; ++r) {
        c.low(r) = 2.0 * random.randn() - 1.0;
        c.high(r) = c.low(r) + 2.0;
    }
    const TouchedSearch found = c.solved();
    std::cout << "16 unknowns, 10 windows: " << found.nodes << " nodes\n";
    CHECK(found.proven);
    REQUIRE(found.best);
    CHECK(c.inside(found.best->x));
    CHECK(found.nodes < 100'000);
}

TEST_CASE("the limit of the work ends the search and says so") {
    const Case c = random_case(6);
    REQUIRE(c.solved().best);
    CHECK_FALSE(c.solved(1).proven);
    for (std::uint64_t limit = 0; limit < 40; ++limit) {
        const TouchedSearch found = c.solved(limit);
        CHECK(found.nodes <= limit + 1);
        if (found.best) CHECK(c.inside(found.best->x));
        if (found.proven) CHECK(found.best->x == c.solved().best->x);
    }
}

TEST_CASE("nothing to do costs nothing, and a window that no value meets is not met") {
    const MatrixXd A = MatrixXd::Identity(2, 2);
    const std::vector<AllowedValues> allowed(2, whole_numbers(-2, 2));
    const VectorXd one = VectorXd::Ones(2);
    const TouchedSearch rests = fewest_touched(A, -one, one, allowed, one, plenty);
    REQUIRE(rests.best);
    CHECK(rests.best->x == VectorXd::Zero(2));
    CHECK(rests.best->price == 0.0);
    const TouchedSearch none = fewest_touched(A, 0.4 * one, 0.6 * one, allowed, one, plenty);
    CHECK_FALSE(none.best);
    CHECK(none.proven);
}

TEST_CASE("a problem of touched unknowns that cannot be one is refused") {
    const MatrixXd A = MatrixXd::Identity(2, 2);
    const VectorXd one = VectorXd::Ones(2);
    const std::vector<AllowedValues> allowed(2, whole_numbers(-2, 2));
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto refused = [&](const MatrixXd& a, const VectorXd& low, const VectorXd& high,
                             const std::vector<AllowedValues>& values, const VectorXd& price) {
        CHECK_THROWS_AS(fewest_touched(a, low, high, values, price, plenty), std::invalid_argument);
    };
    refused(A, VectorXd::Ones(3), one, allowed, one);
    refused(A, one, one, allowed, VectorXd::Ones(1));
    refused(A * nan, -one, one, allowed, one);
    refused(A, one * nan, one, allowed, one);
    refused(A, one, -one, allowed, one);
    refused(A, one * endless, one * endless, allowed, one);
    refused(A * 1e300, -one, one, allowed, one);
    refused(A, -one, one, allowed, 1e308 * one);
    refused(A, -one, one, allowed, -one);
    refused(A, -one, one, allowed, one * nan);
    refused(A, -one, one, {allowed[0]}, one);
    refused(A, -one, one, {allowed[0], {}}, one);
    refused(A, -one, one, {allowed[0], {1.0, 0.0}}, one);
    refused(A, -one, one, {allowed[0], {nan}}, one);
}
