#include "shimwise/motion/curves.hpp"

#include <optional>
#include <string>

#include "motion/at_corner.hpp"
#include "motion/curve_states.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/motion/strut_load.hpp"

namespace shimwise {
namespace {

Solved at(const CurveStates& c, double travel_mm, double start) {
    const Setup& now = c.now();
    return solve_or_throw(now, c.plain(), {.what = Held::wheel}, now.geometry.drawn.wheel_height_mm + travel_mm, start);
}

/// Contact's x at travel and rack zero, which wheelbase change is counted from.
double counted_from(const CurveStates& centred) {
    try {
        return centred.contact_x(at(centred, 0.0, 0.0));
    } catch (const OutOfReach& failure) {
        throw OutOfReach(std::string("at travel and rack zero, from which wheelbase change is counted, ") +
                         failure.what());
    }
}

}  // namespace

std::string_view missing_for(const Corner& corner, Curve curve) {
    switch (curve) {
        case Curve::trail_as_it_runs:
        case Curve::scrub_as_it_runs:
        case Curve::roll_centre_height_as_it_runs:
            return corner.tyre ? "" : "the file gives no tyre";
        case Curve::spring_load:
        case Curve::rubber_load:
        case Curve::wheel_rate_spring:
        case Curve::wheel_rate_rubber:
        case Curve::wheel_rate_load:
        case Curve::wheel_rate:
            return load_is_given(corner) ? "" : "the spring rests as drawn, so the file gives no load";
        default:
            return "";
    }
}

void curves(const Corner& corner, std::span<const double> travel_mm, std::span<const double> rack_mm, double* block) {
    const std::size_t states = travel_mm.size();
    at_corner(corner.id, [&] {
        const double at_rest = counted_from(CurveStates(corner, setup(corner)));
        std::optional<CurveStates> now;
        double start = 0.0;
        for (std::size_t i = 0; i < states; ++i) {
            if (!now || rack_mm[i] != now->now().rack_mm) now.emplace(corner, setup(corner, rack_mm[i]));
            const Solved solved = at(*now, travel_mm[i], start);
            start = solved.half_tan;
            const CurveRow row = now->row(solved, at_rest);
            for (std::size_t r = 0; r < row.size(); ++r) block[r * states + i] = row[r];
        }
    });
}

}  // namespace shimwise
