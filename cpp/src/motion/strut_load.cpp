#include "shimwise/motion/strut_load.hpp"

#include <algorithm>
#include <cmath>

namespace shimwise {
namespace {

/// Spring and helper in series; the helper is solid from `solid_N` on.
struct Series {
    double rate, soft_rate, solid_N;

    double squeezed_mm(double load_N) const {
        return load_N <= solid_N ? load_N / soft_rate : solid_N / soft_rate + (load_N - solid_N) / rate;
    }
};

Series series(const Corner& c) {
    const double rate = c.spring.rate_N_per_mm;
    if (!c.helper) return {rate, rate, 0.0};
    const double helper = c.helper->rate_N_per_mm;
    return {rate, rate * helper / (rate + helper), helper * c.helper->closes_at_mm};
}

/// Linear between rows, from nothing at 0 to the first row, and on with the last slope.
void add_rubber(const BumpRubber& rubber, double squeezed_mm, StrutLoad& load) {
    const auto& rows = rubber.force_N_at_mm;
    if (!(squeezed_mm > 0.0)) return;
    std::size_t i = rows.front()[0] > 0.0 ? 0 : 1;
    while (i + 1 < rows.size() && squeezed_mm > rows[i][0]) ++i;
    const auto [x, force] = i == 0 ? std::array{0.0, 0.0} : rows[i - 1];
    const double slope = (rows[i][1] - force) / (rows[i][0] - x);
    load.rubber_N = force + slope * (squeezed_mm - x);
    load.rubber_N_per_mm = slope;
    load.energy_Nmm += 0.5 * (force + load.rubber_N) * (squeezed_mm - x);
    for (std::size_t before = 0; before < i; ++before) {
        const auto [from, least] = before == 0 ? std::array{0.0, 0.0} : rows[before - 1];
        load.energy_Nmm += 0.5 * (least + rows[before][1]) * (rows[before][0] - from);
    }
}

}  // namespace

double drawn_strut_mm(const Corner& c) {
    const Point eye = c.has_rocker() ? Point::rocker_spring : Point::spring_outer;
    return std::sqrt(squared(c.at(eye) - c.at(Point::spring_chassis)));
}

bool load_is_given(const Corner& corner) { return !corner.spring.rests_as_drawn; }

StrutLoad strut_load(const Corner& c, double platform_mm, double length_mm, Loose loose) {
    const Series s = series(c);
    const double drawn_mm = drawn_strut_mm(c);
    const double free_mm = c.spring.load_at_drawn_N ? drawn_mm + s.squeezed_mm(*c.spring.load_at_drawn_N)
                                                    : *c.spring.free_length_mm + c.spring.seat_gap_mm;
    const double squeezed_mm = free_mm + platform_mm - length_mm;
    const double soft_mm = s.solid_N / s.soft_rate;
    StrutLoad load;
    if (squeezed_mm > soft_mm) {
        load.spring_N = s.solid_N + s.rate * (squeezed_mm - soft_mm);
        load.spring_N_per_mm = s.rate;
        load.energy_Nmm = 0.5 * (s.solid_N * squeezed_mm + load.spring_N * (squeezed_mm - soft_mm));
    } else if (squeezed_mm > 0.0 || loose == Loose::would_pull) {
        load.spring_N = s.soft_rate * squeezed_mm;
        load.spring_N_per_mm = s.soft_rate;
        load.energy_Nmm = 0.5 * load.spring_N * squeezed_mm;
    }
    if (c.bump_rubber) add_rubber(*c.bump_rubber, drawn_mm - c.bump_rubber->gap_mm - length_mm, load);
    return load;
}

}  // namespace shimwise
