#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <vector>

#include "math/box_stages.hpp"
#include "shimwise/math/box_probability.hpp"
#include "shimwise/math/normal.hpp"

namespace shimwise {
namespace {

constexpr std::size_t shift_count = 16;  // of the lattice: their scatter is the error
constexpr std::size_t least_points = std::size_t{1} << 10, most_points = std::size_t{1} << 17;

__extension__ using Wide = unsigned __int128;
constexpr Wide wide(std::uint64_t high, std::uint64_t low) { return Wide{high} << 64 | low; }

/// Uniform numbers of PCG64 (O'Neill 2014, XSL-RR 128/64) from one fixed state, that of NumPy's `default_rng(1992)`.
class FixedUniform {
    Wide state_ = wide(0x7a55cf4c05f5446a, 0x8c63cca5522accd0);

public:
    double operator()() {
        constexpr Wide multiplier = wide(0x2360ed051fc65da4, 0x4385df649fccf645);
        constexpr Wide increment = wide(0x920dbbc3138f6ffd, 0x641e3f6db75f85df);
        state_ = state_ * multiplier + increment;
        const auto folded = static_cast<std::uint64_t>(state_ >> 64) ^ static_cast<std::uint64_t>(state_);
        return static_cast<double>(std::rotr(folded, static_cast<int>(state_ >> 122)) >> 11) * 0x1p-53;
    }
};

std::vector<double> roots_of_primes(std::size_t count) {
    std::vector<int> primes;
    for (int candidate = 2; primes.size() < count; ++candidate)
        if (std::all_of(primes.begin(), primes.end(), [&](int p) { return candidate % p != 0; }))
            primes.push_back(candidate);
    std::vector<double> roots;
    for (const int prime : primes) roots.push_back(std::sqrt(static_cast<double>(prime)));
    return roots;
}

/// Product of the conditional probabilities, each normal drawn within its own range by one of the uniform numbers.
double genz(const std::vector<BoxStage>& stages, const std::vector<double>& uniform, std::vector<double>& normals) {
    double weight = 1.0;
    for (std::size_t j = 0;; ++j) {
        const Range free = range(stages[j], normals);
        weight *= normal_between(free.least, free.most);
        if (j == uniform.size()) return weight;
        const double least = normal_below(free.least), most = normal_below(free.most);
        normals[j] = normal_quantile(std::clamp(least + uniform[j] * (most - least), 1e-300, 1.0 - 1e-16));
    }
}

double mean_over_lattice(const std::vector<BoxStage>& stages, const std::vector<double>& generators,
                         const double* shift, std::size_t points) {
    std::vector<double> uniform(generators.size()), normals(generators.size());
    double sum = 0.0;
    for (std::size_t point = 1; point <= points; ++point) {
        for (std::size_t j = 0; j < uniform.size(); ++j) {
            const double at = generators[j] * static_cast<double>(point) + shift[j];
            uniform[j] = std::abs(2.0 * (at - std::floor(at)) - 1.0);
        }
        sum += genz(stages, uniform, normals);
    }
    return sum / static_cast<double>(points);
}

}  // namespace

BoxProbability box_of_many(const std::vector<BoxStage>& stages, double accuracy) {
    const std::vector<double> generators = roots_of_primes(stages.size() - 1);
    std::vector<double> shifts(shift_count * generators.size());
    FixedUniform random;
    std::generate(shifts.begin(), shifts.end(), [&] { return random(); });
    for (std::size_t points = least_points;; points *= 2) {
        double means[shift_count], value = 0.0, scatter = 0.0;
        for (std::size_t s = 0; s < shift_count; ++s) {
            means[s] = mean_over_lattice(stages, generators, &shifts[s * generators.size()], points);
            value += means[s] / shift_count;
        }
        for (const double mean : means) scatter += (mean - value) * (mean - value);
        const double error = 3.0 * std::sqrt(scatter / (shift_count - 1) / shift_count) + 1e-15;
        if (error <= accuracy || points >= most_points) return {value, error};
    }
}

}  // namespace shimwise
