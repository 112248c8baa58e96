#include "shimwise/motion/sweep.hpp"

#include <algorithm>
#include <array>
#include <optional>

#include "kernel.hpp"
#include "shimwise/error.hpp"
#include "shimwise/motion/starts.hpp"

namespace shimwise {
namespace {

constexpr std::size_t chunk = 1024;

/// A table of starts pays from here on.
constexpr std::size_t table_pays_from = 512;

void finish_by_itself(const Linkage<double>& l, const Hold& hold, double value, std::size_t state, const Frame& frame,
                      double* const* columns) {
    const Solved solved = solve(l, hold, value);
    if (solved.status != Status::ok) throw OutOfReach(in_words(solved, hold));
    const Outputs<double> out = outputs(l, solved.pose, solved.strut, frame);
    for (std::size_t o = 0; o < output_count; ++o) columns[o][state] = out[o];
}

}  // namespace

void sweep(const Setup& setup, const Hold& hold, std::span<const double> values, const Frame& frame,
           double* const* columns) {
    if (values.empty()) return;
    const Linkage<double> l = linkage(setup.geometry, setup.parts());
    std::optional<Starts> starts;
    if (values.size() >= table_pays_from) {
        const auto [low, high] = std::minmax_element(values.begin(), values.end());
        starts.emplace(l, hold, *low, *high);
        if (!starts->usable()) starts.reset();
    }
    std::array<double, chunk> arms{};
    std::array<unsigned char, chunk> met{};
    for (std::size_t first = 0; first < values.size(); first += chunk) {
        const std::span<const double> part = values.subspan(first, std::min(chunk, values.size() - first));
        if (starts) std::transform(part.begin(), part.end(), arms.begin(), *starts);
        std::array<double*, output_count> out{};
        for (std::size_t o = 0; o < output_count; ++o) out[o] = columns[o] + first;
        kernel().sweep({.geometry = &setup.geometry,
                        .amounts_mm = setup.amounts_mm.data(),
                        .adjuster_count = static_cast<int>(setup.amounts_mm.size()),
                        .rack_mm = setup.rack_mm,
                        .hold = hold,
                        .frame = frame,
                        .values = part.data(),
                        .starts = arms.data(),
                        .count = static_cast<long>(part.size()),
                        .columns = out.data(),
                        .met = met.data()});
        for (std::size_t i = 0; i < part.size(); ++i)
            if (!met[i]) finish_by_itself(l, hold, part[i], first + i, frame, columns);
    }
}

}  // namespace shimwise
