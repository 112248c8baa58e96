#include "shimwise/motion/steering.hpp"

#include <cmath>

#include "shimwise/motion/curves.hpp"
#include "shimwise/motion/sweep.hpp"
#include "shimwise/units.hpp"

namespace shimwise {
namespace {

std::vector<double> toe_deg(const Corner& corner, std::span<const double> travel_mm, std::span<const double> rack_mm) {
    std::vector<double> block(output_count * rack_mm.size());
    alignment(corner, travel_mm, rack_mm, block.data());
    const auto row = block.begin() + static_cast<std::ptrdiff_t>(index(Output::toe) * rack_mm.size());
    return {row, row + static_cast<std::ptrdiff_t>(rack_mm.size())};
}

/// By how much toe differs from that with the rack centred.
std::vector<double> toe_change_deg(const Corner& corner, std::span<const double> travel_mm,
                                   std::span<const double> rack_mm) {
    std::vector<double> change = toe_deg(corner, travel_mm, rack_mm);
    const std::vector<double> centred = toe_deg(corner, travel_mm, std::vector<double>(rack_mm.size(), 0.0));
    for (std::size_t i = 0; i < change.size(); ++i) change[i] -= centred[i];
    return change;
}

/// Contact's x and its distance from the centre plane, as it stands with the rack centred.
std::array<double, 2> contact_place(const Corner& corner) {
    constexpr std::array<double, 1> zero = {0.0};
    std::array<double, output_count + curve_count> column{};
    curves(corner, zero, zero, column.data());
    return {column[output_count + index(Curve::contact_x)], column[index(Output::half_track)]};
}

/// One state, in the order of `steer_list`.
std::array<double, steer_count> state(double left_deg, double right_deg, double track_over_wheelbase) {
    const bool to_left = left_deg + right_deg >= 0.0;
    const double inner = to_left ? left_deg : -right_deg;
    const double outer = to_left ? right_deg : -left_deg;
    const double ideal = ideal_outer_rad(inner * rad_per_deg, track_over_wheelbase) * deg_per_rad;
    return {left_deg, right_deg, inner, outer, ideal, outer - ideal};
}

}  // namespace

double ideal_outer_rad(double inner_rad, double track_over_wheelbase) {
    const double sine = std::sin(inner_rad);
    const double size = std::atan2(std::fabs(sine), std::cos(inner_rad) + track_over_wheelbase * std::fabs(sine));
    return std::copysign(size, inner_rad);
}

WheelPlan wheel_plan(const Car& car) {
    std::array<std::array<double, 2>, corner_count> at{};
    for (std::size_t c = 0; c < corner_count; ++c) at[c] = contact_place(car.corners[c]);
    return {0.5 * (at[0][0] + at[1][0] - at[2][0] - at[3][0]), at[0][1] + at[1][1]};
}

void steering(const Car& car, std::span<const double> rack_mm, std::span<const double> travel_mm, double* block) {
    const std::vector<double> left = toe_change_deg(car[CornerId::front_left], travel_mm, rack_mm);
    const std::vector<double> right = toe_change_deg(car[CornerId::front_right], travel_mm, rack_mm);
    const WheelPlan plan = wheel_plan(car);
    for (std::size_t i = 0; i < rack_mm.size(); ++i) {
        const auto rows = state(0.0 - left[i], right[i], plan.front_track_mm / plan.wheelbase_mm);
        for (std::size_t row = 0; row < steer_count; ++row) block[row * rack_mm.size() + i] = rows[row];
    }
}

}  // namespace shimwise
