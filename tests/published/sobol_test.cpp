// Sobol's indices of Ishigami's function against their closed form.
#include "shimwise/math/sobol.hpp"

#include <cmath>
#include <numbers>

#include "catch.hpp"
#include "shimwise/math/sampling.hpp"
#include "size.hpp"

using namespace shimwise;

namespace {

using std::numbers::pi;

/// f = sin x1 + a sin^2 x2 + b x3^4 sin x1, each x even from -pi to pi. RECALL: T. Ishigami, T. Homma: An importance
/// quantification technique in uncertainty analysis for computer models, ISUMA 1990, p. 398, with a = 7, b = 0.1.
constexpr double a = 7.0, b = 0.1;

double ishigami(double x1, double x2, double x3) {
    return std::sin(x1) + a * std::sin(x2) * std::sin(x2) + b * x3 * x3 * x3 * x3 * std::sin(x1);
}

/// DERIVED by integration of the function's parts: V1 = (1 + b pi^4 / 5)^2 / 2, V2 = a^2 / 8, V13 = 8 b^2 pi^8 / 225,
/// no others.
const double v1 = 0.5 * std::pow(1.0 + b * std::pow(pi, 4) / 5.0, 2), v2 = a * a / 8.0,
             v13 = 8.0 * b * b * std::pow(pi, 8) / 225.0, v = v1 + v2 + v13;
const std::array<double, 3> first = {v1 / v, v2 / v, 0.0}, total = {(v1 + v13) / v, v2 / v, v13 / v};

std::array<SobolIndices, 3> found(Sampling how, std::size_t count, std::uint64_t seed) {
    std::array<std::vector<double>, 3> one, other;
    for (std::size_t i = 0; i < 3; ++i) {
        const std::string name = "x" + std::to_string(i + 1);
        one[i] = drawn_between(how, count, seed, name, -pi, pi);
        other[i] = drawn_between(how, count, seed, name + ", second sample", -pi, pi);
    }
    const auto values = [&](const std::array<std::vector<double>, 3>& x) {
        std::vector<double> f(count);
        for (std::size_t k = 0; k < count; ++k) f[k] = ishigami(x[0][k], x[1][k], x[2][k]);
        return f;
    };
    std::array<SobolIndices, 3> indices;
    for (std::size_t i = 0; i < 3; ++i) {
        std::array<std::vector<double>, 3> mixed = one;
        mixed[i] = other[i];
        indices[i] = sobol_indices(values(one), values(other), values(mixed));
    }
    return indices;
}

bool near(const VarianceShare& share, double exact, double deviations) {
    return std::fabs(share.share - exact) <= deviations * share.uncertainty;
}

}  // namespace

TEST_CASE("the closed form of Ishigami's indices is the published one") {
    // RECALL: Saltelli et al., Global Sensitivity Analysis: The Primer, 2008, section 4.9: S = 0.314, 0.442, 0;
    // ST = 0.558, 0.442, 0.244.
    CHECK(std::fabs(first[0] - 0.314) < 5e-4);
    CHECK(std::fabs(first[1] - 0.442) < 5e-4);
    CHECK(std::fabs(total[0] - 0.558) < 5e-4);
    CHECK(std::fabs(total[2] - 0.244) < 5e-4);
}

TEST_CASE("Sobol's indices of Ishigami's function lie in their intervals, as often as these say") {
    const auto count = static_cast<std::size_t>(test_size("rows of Ishigami's function", 2000, 20'000));
    int inside = 0, all = 0;
    const int seeds = test_size("samples of Ishigami's function", 60, 400);
    for (int seed = 0; seed < seeds; ++seed) {
        const auto indices = found(Sampling::random, count, static_cast<std::uint64_t>(seed));
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(indices[i].rows == count);
            CHECK(near(indices[i].first, first[i], 5.0));
            CHECK(near(indices[i].total, total[i], 5.0));
            inside += near(indices[i].first, first[i], 1.96);
            inside += near(indices[i].total, total[i], 1.96);
            all += 2;
        }
    }
    const double share = static_cast<double>(inside) / all;
    CHECK(share > 0.90);  // 95 % of the six of a sample, which go together
    CHECK(share < 0.99);
}

TEST_CASE("a Latin hypercube comes closer to Ishigami's indices than its interval says") {
    int inside = 0;
    for (std::uint64_t seed = 100; seed < 130; ++seed) {
        const auto indices = found(Sampling::latin_hypercube, 2000, seed);
        for (std::size_t i = 0; i < 3; ++i)
            inside += near(indices[i].first, first[i], 1.96) && near(indices[i].total, total[i], 1.96);
    }
    CHECK(inside > 78);  // of 90
}

TEST_CASE("rows that are not finite are left out, and what does not vary has no shares") {
    const double none = std::nan("");
    const std::vector<double> x = {1.0, 2.0, none, 4.0}, y = {2.0, 1.0, 3.0, 5.0}, z = {1.5, 2.5, 3.0, 4.0};
    CHECK(sobol_indices(x, y, z).rows == 3);
    CHECK(std::isfinite(sobol_indices(x, y, z).first.share));
    const std::vector<double> same(41, 0.1);  // whose mean is not 0.1
    CHECK(std::isnan(sobol_indices(same, same, same).total.share));
    CHECK(std::isnan(sobol_indices({}, {}, {}).first.share));
}
