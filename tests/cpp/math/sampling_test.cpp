// Drawn numbers: the law of a Latin hypercube, evenly spread, by seed and name alone.
#include "shimwise/math/sampling.hpp"

#include <numeric>

#include "catch.hpp"
#include "shimwise/math/chi_square.hpp"
#include "size.hpp"

using namespace shimwise;

namespace {

std::vector<int> counts(const std::vector<double>& numbers, std::size_t cells) {
    std::vector<int> in_cell(cells);
    for (const double number : numbers) ++in_cell.at(static_cast<std::size_t>(number * static_cast<double>(cells)));
    return in_cell;
}

/// Probability of counts at least this uneven.
double evenness(const std::vector<int>& in_cell) {
    const double expected = std::accumulate(in_cell.begin(), in_cell.end(), 0.0) / static_cast<double>(in_cell.size());
    double sum = 0.0;
    for (const int count : in_cell) sum += (count - expected) * (count - expected) / expected;
    return chi_square_above(sum, static_cast<int>(in_cell.size()) - 1);
}

double correlation(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += (a[i] - 0.5) * (b[i] - 0.5);
    return 12.0 * sum / static_cast<double>(a.size());
}

}  // namespace

TEST_CASE("a Latin hypercube has one number in each row, and its rows are in random order") {
    for (const std::size_t count : {1UL, 2UL, 3UL, 7UL, 64UL, 1000UL}) {
        const std::vector<double> numbers = drawn_numbers(Sampling::latin_hypercube, count, 5, "a");
        CHECK(counts(numbers, count) == std::vector<int>(count, 1));
    }
    const auto count = static_cast<std::size_t>(test_size("drawn numbers", 20'000, 2'000'000));
    const std::vector<double> a = drawn_numbers(Sampling::latin_hypercube, count, 5, "a");
    const std::vector<double> b = drawn_numbers(Sampling::latin_hypercube, count, 5, "b");
    std::vector<double> within, order(a.begin(), a.end() - 1), next(a.begin() + 1, a.end());
    for (const double number : a) within.push_back(std::fmod(number * static_cast<double>(count), 1.0));
    CHECK(evenness(counts(within, 50)) > 1e-6);
    const double four_sigma = 4.0 / std::sqrt(static_cast<double>(count));
    CHECK(std::fabs(correlation(a, b)) < four_sigma);
    CHECK(std::fabs(correlation(order, next)) < four_sigma);
}

TEST_CASE("random numbers are even, and no two streams go together") {
    const auto count = static_cast<std::size_t>(test_size("drawn random numbers", 20'000, 2'000'000));
    const std::vector<double> a = drawn_numbers(Sampling::random, count, 5, "a");
    CHECK(evenness(counts(a, 100)) > 1e-6);
    const double four_sigma = 4.0 / std::sqrt(static_cast<double>(count));
    for (const auto& other :
         {drawn_numbers(Sampling::random, count, 5, "b"), drawn_numbers(Sampling::random, count, 6, "a"),
          drawn_numbers(Sampling::random, count, 5, "aa")})
        CHECK(std::fabs(correlation(a, other)) < four_sigma);
}

TEST_CASE("a stream is the same each time, and the first numbers are these on every machine") {
    const std::vector<double> numbers = drawn_numbers(Sampling::random, 3, 1, "front_left.track_rod.inner.z");
    CHECK(numbers == drawn_numbers(Sampling::random, 3, 1, "front_left.track_rod.inner.z"));
    const std::vector<double> longer = drawn_numbers(Sampling::random, 5, 1, "front_left.track_rod.inner.z");
    CHECK(std::equal(numbers.begin(), numbers.end(), longer.begin()));
}

TEST_CASE("between two ends neither is passed, and options are picked equally often") {
    for (const Sampling how : {Sampling::latin_hypercube, Sampling::random})
        for (const auto& [low, high] : {std::pair{-0.5, 0.5}, {0.1, 0.1}, {1e17, 1e17 + 64.0}})
            for (const double number : drawn_between(how, 1000, 3, "x", low, high))
                CHECK((number >= low && number <= high));
    std::vector<int> times(7);
    for (const std::size_t place : drawn_among(Sampling::latin_hypercube, 700, 3, "x", 7)) ++times.at(place);
    CHECK(times == std::vector<int>(7, 100));
}
