#include "shimwise/motion/sweep.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <vector>

#include "motion/at_corner.hpp"
#include "motion/kernel.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/motion/starts.hpp"

namespace shimwise {
namespace {

constexpr std::size_t chunk = 1024;

/// A table of starts pays from here on.
constexpr std::size_t table_pays_from = 512;

void finish_by_itself(const Setup& setup, const Linkage<double>& l, const Hold& hold, double value, std::size_t state,
                      const Frame& frame, double* const* columns) {
    const Solved solved = solve_or_throw(setup, l, hold, value);
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
    std::array<double, chunk> start_of{};
    std::array<unsigned char, chunk> met{};
    for (std::size_t first = 0; first < values.size(); first += chunk) {
        const std::span<const double> part = values.subspan(first, std::min(chunk, values.size() - first));
        if (starts) std::transform(part.begin(), part.end(), start_of.begin(), *starts);
        std::array<double*, output_count> out{};
        for (std::size_t o = 0; o < output_count; ++o) out[o] = columns[o] + first;
        kernel().sweep({.geometry = &setup.geometry,
                        .amounts_mm = setup.amounts_mm.data(),
                        .adjuster_count = static_cast<int>(setup.amounts_mm.size()),
                        .rack_mm = setup.rack_mm,
                        .hold = hold,
                        .frame = frame,
                        .values = part.data(),
                        .starts = start_of.data(),
                        .count = static_cast<long>(part.size()),
                        .columns = out.data(),
                        .met = met.data()});
        for (std::size_t i = 0; i < part.size(); ++i)
            if (!met[i]) finish_by_itself(setup, l, hold, part[i], first + i, frame, columns);
    }
}

void alignment(const Corner& corner, std::span<const double> travel_mm, std::span<const double> rack_mm,
               double* block) {
    const double drawn_mm = corner.at(Point::wheel_centre).z;
    std::vector<double> height_mm(travel_mm.begin(), travel_mm.end());
    for (double& h : height_mm) h += drawn_mm;
    for (std::size_t first = 0, end = 0; first < height_mm.size(); first = end) {
        while (end < rack_mm.size() && rack_mm[end] == rack_mm[first]) ++end;
        std::array<double*, output_count> columns{};
        for (std::size_t o = 0; o < output_count; ++o) columns[o] = block + o * height_mm.size() + first;
        at_corner(corner.id, [&] {
            const std::span<const double> heights(height_mm);
            sweep(setup(corner, rack_mm[first]), {.what = Held::wheel}, heights.subspan(first, end - first), {},
                  columns.data());
        });
    }
}

void joints(const Corner& corner, std::span<const double> travel_mm, std::span<const double> rack_mm, double* block) {
    const std::size_t states = travel_mm.size();
    at_corner(corner.id, [&] {
        for (std::size_t i = 0; i < states; ++i) {
            const Setup s = setup(corner, rack_mm[i]);
            const Parts<double> parts = s.parts();
            const Linkage<double> l = linkage(s.geometry, parts);
            const double height_mm = corner.at(Point::wheel_centre).z + travel_mm[i];
            const Solved solved = solve_or_throw(s, l, {.what = Held::wheel}, height_mm);
            const auto at = joints(parts, l, solved.pose, solved.strut);
            for (std::size_t p = 0; p < point_count; ++p) {
                double* out = block + (p * states + i) * 3;
                out[0] = at[p].x;
                out[1] = at[p].y;
                out[2] = at[p].z;
            }
        }
    });
}

}  // namespace shimwise
