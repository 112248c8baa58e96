#include "shimwise/math/sampling.hpp"

#include <algorithm>
#include <numeric>
#include <random>

namespace shimwise {
namespace {

/// The standard fixes every bit of this generator, and of none of its distributions.
class Stream {
public:
    Stream(std::uint64_t seed, std::string_view name) {
        std::vector<std::uint32_t> words = {static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32)};
        for (const char letter : name) words.push_back(static_cast<unsigned char>(letter));
        std::seed_seq mixed(words.begin(), words.end());
        bits_.seed(mixed);
    }

    double number() { return static_cast<double>(bits_() >> 11) * 0x1p-53; }

    /// From 0 to below `end`, each as likely: what would favour the low ones is drawn again.
    std::size_t below(std::size_t end) {
        const std::uint64_t fair = UINT64_MAX - UINT64_MAX % end;
        for (;;)
            if (const std::uint64_t drawn = bits_(); drawn < fair) return static_cast<std::size_t>(drawn % end);
    }

private:
    std::mt19937_64 bits_;
};

}  // namespace

std::vector<double> drawn_numbers(Sampling how, std::size_t count, std::uint64_t seed, std::string_view name) {
    Stream stream(seed, name);
    std::vector<double> numbers(count);
    for (double& number : numbers) number = stream.number();
    if (how == Sampling::random) return numbers;
    std::vector<std::size_t> rows(count);
    std::iota(rows.begin(), rows.end(), std::size_t{0});
    for (std::size_t i = count; i > 1; --i) std::swap(rows[i - 1], rows[stream.below(i)]);
    const auto n = static_cast<double>(count);
    constexpr double below_1 = 1.0 - 0x1p-53;
    for (std::size_t i = 0; i < count; ++i)
        numbers[i] = std::min((static_cast<double>(rows[i]) + numbers[i]) / n, below_1);
    return numbers;
}

std::vector<double> drawn_between(Sampling how, std::size_t count, std::uint64_t seed, std::string_view name,
                                  double low, double high) {
    std::vector<double> numbers = drawn_numbers(how, count, seed, name);
    for (double& number : numbers) number = std::min(low + number * (high - low), high);
    return numbers;
}

std::vector<std::size_t> drawn_among(Sampling how, std::size_t count, std::uint64_t seed, std::string_view name,
                                     std::size_t options) {
    std::vector<std::size_t> picked;
    picked.reserve(count);
    for (const double number : drawn_numbers(how, count, seed, name))
        picked.push_back(std::min(static_cast<std::size_t>(number * static_cast<double>(options)), options - 1));
    return picked;
}

}  // namespace shimwise
