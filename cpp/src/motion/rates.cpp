#include "shimwise/motion/rates.hpp"

#include <algorithm>
#include <array>

#include "motion/kernel.hpp"
#include "shimwise/motion/closing.hpp"

namespace shimwise {

double present_value(const Setup& setup, const Hold& hold, double travel_mm) {
    const Linkage<double> l = linkage(setup.geometry, setup.parts());
    const double height_mm = setup.geometry.drawn.wheel_height_mm + travel_mm;
    const Solved solved = solve_or_throw(setup, l, {.what = Held::wheel}, height_mm);
    return held_alone(l, solved.pose, solved.strut, hold);
}

Outputs<double> outputs_at(const Setup& setup, const Hold& hold, double value, const Frame& frame) {
    const Linkage<double> l = linkage(setup.geometry, setup.parts());
    const Solved solved = solve_or_throw(setup, l, hold, value);
    return outputs(l, solved.pose, solved.strut, frame);
}

Rates rates(const Setup& setup, const Hold& hold, double value, const Frame& frame) {
    const Linkage<double> l = linkage(setup.geometry, setup.parts());
    const Solved solved = solve_or_throw(setup, l, hold, value);
    const int count = static_cast<int>(setup.amounts_mm.size());
    Rates r;
    r.per_mm.resize(setup.amounts_mm.size());
    int first = 0;
    do {
        std::array<double, output_count * rates_per_output> rates{};
        kernel().table({.geometry = &setup.geometry,
                        .amounts_mm = setup.amounts_mm.data(),
                        .adjuster_count = count,
                        .first_adjuster = first,
                        .rack_mm = setup.rack_mm,
                        .half_tan = solved.half_tan,
                        .hold = hold,
                        .frame = frame},
                       r.values.data(), rates.data());
        for (int a = first; a < std::min(count, first + adjusters_per_pass); ++a)
            for (std::size_t o = 0; o < output_count; ++o)
                r.per_mm[static_cast<std::size_t>(a)][o] =
                    rates[o * rates_per_output + static_cast<std::size_t>(a - first + 1)];
        first += adjusters_per_pass;
    } while (first < count);
    return r;
}

}  // namespace shimwise
