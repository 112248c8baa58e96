#include "shimwise/motion/rates.hpp"

#include <algorithm>

#include "motion/at_corner.hpp"
#include "shimwise/motion/closing.hpp"

namespace shimwise {
namespace {

/// Derivatives by the half tangent and by seven adjusters; each with its own derivative along the half tangent.
constexpr std::size_t seeds = 8;
using Seeded = Dual<Block4, seeds / 4>;
using Nested = Dual<Seeded, 1>;

double by(const Seeded& x, std::size_t seed) { return x.d[seed / 4][seed % 4]; }

/// d x / d seed as a number that varies with the half tangent.
Dual<double, 1> varying(const Nested& x, std::size_t seed) {
    Dual<double, 1> rate(by(x.v, seed));
    rate.d[0] = by(x.d[0], seed);
    return rate;
}

struct Evaluated {
    Outputs<Nested> out;
    Nested held;
    double wheel_rise;  // dz/da
};

Evaluated evaluated(const Setup& setup, double half_tan_now, const Hold& hold, const Frame& frame, std::size_t first,
                    std::size_t count) {
    const auto seed = [](Seeded& x, std::size_t n) { x.d[n / 4][n % 4] = 1.0; };
    std::vector<Nested> amounts(setup.amounts_mm.begin(), setup.amounts_mm.end());
    for (std::size_t a = 0; a < count; ++a) seed(amounts[first + a].v, a + 1);
    Nested half_tan(half_tan_now);
    seed(half_tan.v, 0);
    half_tan.d[0] = Seeded(1.0);

    const Linkage<Nested> l = linkage(setup.geometry, parts(setup.geometry, amounts.data(), Nested(setup.rack_mm)));
    const Pose<Nested> p = pose(l, half_tan);
    const Strut<Nested> s = strut(l, p);
    return {outputs(l, p, s, frame), held_alone(l, p, s, hold), by(p.wheel_centre.z.v, 0)};
}

}  // namespace

std::vector<Outputs<double>> rates_per_travel(const Setup& setup, const Hold& hold, double value, const Frame& frame) {
    const Solved solved = solve_or_throw(setup, linkage(setup.geometry, setup.parts()), hold, value);
    std::vector<Outputs<double>> slopes(setup.amounts_mm.size());
    for (std::size_t first = 0; first < slopes.size(); first += seeds - 1) {
        const std::size_t count = std::min(slopes.size() - first, seeds - 1);
        const Evaluated e = evaluated(setup, solved.half_tan, hold, frame, first, count);
        for (std::size_t a = 0; a < count; ++a) {
            const auto kept = varying(e.held, a + 1) / varying(e.held, 0);
            for (std::size_t o = 0; o < output_count; ++o) {
                const auto rate = varying(e.out[o], a + 1) - varying(e.out[o], 0) * kept;
                slopes[first + a][o] = rate.d[0] / e.wheel_rise + 0.0;  // no -0
            }
        }
    }
    return slopes;
}

std::vector<Outputs<double>> rates_per_travel(const Corner& corner, Held held, double travel_mm, double rack_mm) {
    return at_corner(corner.id, [&] {
        const Setup now = setup(corner, rack_mm);
        return rates_per_travel(now, {held}, present_value(now, {held}, travel_mm));
    });
}

}  // namespace shimwise
