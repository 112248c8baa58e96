#include <algorithm>
#include <array>
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
constexpr std::size_t least_points = std::size_t{1} << 6, most_points = std::size_t{1} << 17;

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

/// Steps of a rank-1 lattice of 2^10 to 2^20 points, found component by component for such counts (Cools, Kuo & Nuyens
/// 2006, order-2 weights; RECALL: from memory). Odd, so that fewer points are a lattice too. What a lattice is worth,
/// the scatter over its shifts says.
constexpr std::array<std::uint64_t, 32> lattice_steps = {
    1,      182667, 469891, 498753, 110745, 446247, 250185, 118627, 245333, 283199, 408519,
    391023, 246327, 126539, 399185, 461527, 300343, 69681,  516695, 436179, 106383, 238523,
    413283, 70841,  47719,  300129, 113029, 123925, 410745, 211325, 17489,  511893};

/// Beyond that table: odd too, each with another pattern.
std::uint64_t korobov_step(std::size_t dimension) {
    std::uint64_t step = 1;
    for (std::size_t i = 0; i < dimension; ++i) step = step * 17797 % (std::uint64_t{1} << 20);
    return step | 1U;
}

/// Of each dimension, for so many points: parts of 1.
std::vector<double> generators_for(std::size_t dimensions, std::size_t points) {
    std::vector<double> generators;
    for (std::size_t d = 0; d < dimensions; ++d) {
        const std::uint64_t step = d < lattice_steps.size() ? lattice_steps[d] : korobov_step(d);
        generators.push_back(static_cast<double>(step % points) / static_cast<double>(points));
    }
    return generators;
}

/// The probability of a range, and the normal within it at a share of that: from the tail where it keeps its digits.
struct Drawn {
    double chance, normal;
};
Drawn drawn(const Range& free, double share) {
    if (!(free.least < free.most)) return {0.0, free.least};
    const bool above = free.least > 0.0;
    const double least = above ? normal_below(-free.most) : normal_below(free.least);
    const double most = above ? normal_below(-free.least) : normal_below(free.most);
    const double at = normal_quantile(std::clamp(least + share * (most - least), 1e-300, 1.0 - 1e-16));
    return {most - least, above ? -at : at};
}

/// Product of the conditional probabilities, each normal drawn within its own range by one of the uniform numbers.
double genz(const std::vector<BoxStage>& stages, const std::vector<double>& uniform, std::vector<double>& normals) {
    double weight = 1.0;
    for (std::size_t j = 0; j < uniform.size(); ++j) {
        const Drawn one = drawn(range(stages[j], normals), uniform[j]);
        weight *= one.chance;
        if (weight == 0.0) return 0.0;
        normals[j] = one.normal;
    }
    const Range last = range(stages.back(), normals);
    return weight * normal_between(last.least, last.most);
}

/// Over every point of a lattice, or over every second: those that one of half as many points does not have.
double sum_over_lattice(const std::vector<BoxStage>& stages, const std::vector<double>& generators, const double* shift,
                        std::size_t points, bool new_ones) {
    std::vector<double> uniform(generators.size()), normals(generators.size());
    double sum = 0.0;
    for (std::size_t point = new_ones ? 1 : 0; point < points; point += new_ones ? 2 : 1) {
        for (std::size_t j = 0; j < uniform.size(); ++j) {
            const double at = generators[j] * static_cast<double>(point) + shift[j];
            uniform[j] = std::abs(2.0 * (at - std::floor(at)) - 1.0);
        }
        sum += genz(stages, uniform, normals);
    }
    return sum;
}

}  // namespace

BoxProbability box_of_many(const std::vector<BoxStage>& stages, double accuracy) {
    const std::size_t dimensions = stages.size() - 1;
    std::vector<double> shifts(shift_count * dimensions);
    FixedUniform random;
    std::generate(shifts.begin(), shifts.end(), [&] { return random(); });
    std::array<double, shift_count> sums{};
    for (std::size_t points = least_points;; points *= 2) {
        const std::vector<double> generators = generators_for(dimensions, points);
        double means[shift_count], value = 0.0, scatter = 0.0;
        for (std::size_t s = 0; s < shift_count; ++s) {
            sums[s] += sum_over_lattice(stages, generators, &shifts[s * dimensions], points, points > least_points);
            means[s] = sums[s] / static_cast<double>(points);
            value += means[s] / shift_count;
        }
        for (const double mean : means) scatter += (mean - value) * (mean - value);
        const double error = 3.0 * std::sqrt(scatter / (shift_count - 1) / shift_count) + 1e-15;
        if (error <= accuracy || points >= most_points) return {value, error};
    }
}

}  // namespace shimwise
