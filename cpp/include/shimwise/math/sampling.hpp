// Numbers drawn between 0 and 1, the same on every machine: by a seed and a name, so that one more name changes none of
// the others.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

namespace shimwise {

/// Latin hypercube (McKay, Beckman, Conover: Technometrics 21 (1979) 239): of n numbers one in each n-th of the range,
/// evenly distributed there, in random order. Random: each for itself.
enum class Sampling { latin_hypercube, random };
inline constexpr std::array<std::string_view, 2> sampling_names = {"latin_hypercube", "random"};

/// `count` numbers from 0 to below 1.
std::vector<double> drawn_numbers(Sampling how, std::size_t count, std::uint64_t seed, std::string_view name);

/// The same between two ends, neither passed.
std::vector<double> drawn_between(Sampling how, std::size_t count, std::uint64_t seed, std::string_view name,
                                  double low, double high);

/// Which of `options` things each number picks: of a Latin hypercube each as often as the others, to one.
std::vector<std::size_t> drawn_among(Sampling how, std::size_t count, std::uint64_t seed, std::string_view name,
                                     std::size_t options);

}  // namespace shimwise
