#include "shimwise/motion/curves.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "motion/at_corner.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/motion/setup.hpp"
#include "shimwise/motion/strut_load.hpp"

namespace shimwise {
namespace {

/// A number and its derivative by the half tangent.
using Along = Dual<double, 1>;

/// The same wheel on its tyre at its loaded radius, the contact in its middle.
Geometry on_tyre(Geometry g, const Tyre& tyre) {
    g.wheel_radius_mm = tyre.loaded_radius_mm;
    g.half_width_mm = g.offset_mm = 0.0;
    return g;
}

Linkage<Along> with_slope(const Geometry& g, const Setup& s) {
    std::vector<Along> amounts(s.amounts_mm.begin(), s.amounts_mm.end());
    return linkage(g, parts(g, amounts.data(), Along(s.rack_mm)));
}

/// The corner at one rack travel, ready for any wheel travel.
struct AtRack {
    Setup now;
    std::optional<Geometry> tyre;
    Linkage<double> plain;
    Linkage<Along> along;
    std::optional<Linkage<Along>> along_on_tyre;

    AtRack(const Corner& corner, double rack_mm)
        : now(setup(corner, rack_mm)), plain(linkage(now.geometry, now.parts())), along(with_slope(now.geometry, now)) {
        if (!corner.tyre) return;
        tyre = on_tyre(now.geometry, *corner.tyre);
        along_on_tyre = with_slope(*tyre, now);
    }
    AtRack(const AtRack&) = delete;  // its linkages refer to its own geometries
    AtRack& operator=(const AtRack&) = delete;

    Solved at(double travel_mm, double start) const {
        return solve_or_throw(now, plain, {.what = Held::wheel}, now.geometry.wheel_height_mm + travel_mm, start);
    }
};

double contact_x(const AtRack& c, const Solved& s) { return contact(c.plain, s.pose, Hold{}.up).x; }

/// Contact's x at travel and rack zero, which wheelbase change is counted from.
double counted_from(const AtRack& centred) {
    try {
        return contact_x(centred, centred.at(0.0, 0.0));
    } catch (const OutOfReach& failure) {
        throw OutOfReach(std::string("at travel and rack zero, from which wheelbase change is counted, ") +
                         failure.what());
    }
}

/// Writes one state's column: value by row.
class Column {
public:
    Column(double* block, std::size_t states, std::size_t state) : first_(block + state), states_(states) {}
    void set(std::size_t row, double value) { first_[row * states_] = value; }
    void set(Curve curve, double value) { set(output_count + index(curve), value); }

private:
    double* first_;
    std::size_t states_;
};

/// Screw of the upright's motion as the wheel rises: with w its turn and v the wheel centre's velocity, the axis runs
/// along w through the wheel centre + w x v / |w|^2, and its pitch is w . v / |w|^2.
void set_instant_axis(const Linkage<double>& l, const Pose<double>& p, Column& column) {
    const Motion<double> m = null_motion(l, p);
    const double per_travel = 1.0 / rise(p, m, p.wheel_centre);
    const Vec3<double> turn = m.turn * per_travel;
    const Vec3<double> velocity = shimwise::velocity(p, m, p.wheel_centre) * per_travel;
    const double turn2 = squared(turn);
    constexpr double none = 1e-12;  // rad/mm: an axis a thousand kilometres away
    const bool turns = turn2 > none * none;
    constexpr double far = std::numeric_limits<double>::infinity();
    const Vec3<double> at =
        turns ? p.wheel_centre + cross(turn, velocity) * (1.0 / turn2) : Vec3<double>(far, far, far);
    const Vec3<double> axis = turns ? turn * (1.0 / std::sqrt(turn2)) : Vec3<double>();
    column.set(Curve::instant_axis_x, at.x);
    column.set(Curve::instant_axis_y, at.y);
    column.set(Curve::instant_axis_z, at.z);
    column.set(Curve::instant_axis_along_x, axis.x);
    column.set(Curve::instant_axis_along_y, axis.y);
    column.set(Curve::instant_axis_along_z, axis.z);
    column.set(Curve::instant_axis_pitch, turns ? dot(turn, velocity) / turn2 : far);
}

/// With F the force and k its rate by shortening, the load at the contact is F MR; by the contact's rise it grows by
/// k MR^2 + F dMR/dz.
void set_loads(const StrutLoad& load, double motion_ratio, double gain, Column& column) {
    const double spring = load.spring_N_per_mm * motion_ratio * motion_ratio;
    const double rubber = load.rubber_N_per_mm * motion_ratio * motion_ratio;
    const double by_load = (load.spring_N + load.rubber_N) * gain;
    column.set(Curve::spring_load, load.spring_N);
    column.set(Curve::rubber_load, load.rubber_N);
    column.set(Curve::wheel_rate_spring, spring);
    column.set(Curve::wheel_rate_rubber, rubber);
    column.set(Curve::wheel_rate_load, by_load);
    column.set(Curve::wheel_rate, spring + rubber + by_load);
}

/// Rate of an output by the contact's rise.
double by_rise(const Outputs<Along>& out, Output o) {
    return -out[index(o)].d[0] / out[index(Output::chassis_height)].d[0];
}

double roll_centre_height(const Outputs<Along>& out) {
    return out[index(Output::half_track)].value() * by_rise(out, Output::half_track);
}

Outputs<Along> outputs_along(const Linkage<Along>& l, double half_tan_now) {
    Along half_tan(half_tan_now);
    half_tan.d[0] = 1.0;
    const Pose<Along> p = pose(l, half_tan);
    return outputs(l, p, strut(l, p), Frame{});
}

void set_state(const Corner& corner, const AtRack& c, const Solved& solved, double contact_x_at_rest, Column column) {
    const Outputs<Along> out = outputs_along(c.along, solved.half_tan);
    for (std::size_t o = 0; o < output_count; ++o) column.set(o, out[o].value());

    const double x = contact_x(c, solved);
    const double forward = is_front(corner.id) ? 1.0 : -1.0;
    const double gain = by_rise(out, Output::motion_ratio);
    column.set(Curve::contact_x, x);
    column.set(Curve::wheelbase_change, (x - contact_x_at_rest) * forward);
    column.set(Curve::roll_centre_height, roll_centre_height(out));
    column.set(Curve::motion_ratio_gain, gain);
    set_instant_axis(c.plain, solved.pose, column);
    if (c.along_on_tyre) {
        const Outputs<Along> runs = outputs_along(*c.along_on_tyre, solved.half_tan);
        column.set(Curve::trail_as_it_runs, runs[index(Output::trail)].value());
        column.set(Curve::scrub_as_it_runs, runs[index(Output::scrub)].value());
        column.set(Curve::roll_centre_height_as_it_runs, roll_centre_height(runs));
    }
    if (load_is_given(corner))
        set_loads(
            strut_load(corner, c.now.parts().at(Length::spring_platform), out[index(Output::spring_length)].value()),
            out[index(Output::motion_ratio)].value(), gain, column);
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
    for (std::size_t c = 0; c < curve_count; ++c)
        if (!missing_for(corner, static_cast<Curve>(c)).empty())
            std::fill_n(block + (output_count + c) * travel_mm.size(), travel_mm.size(),
                        std::numeric_limits<double>::quiet_NaN());
    at_corner(corner.id, [&] {
        const AtRack centred(corner, 0.0);
        const double at_rest = counted_from(centred);
        std::optional<AtRack> now;
        double start = 0.0;
        for (std::size_t i = 0; i < travel_mm.size(); ++i) {
            if (!now || rack_mm[i] != now->now.rack_mm) now.emplace(corner, rack_mm[i]);
            const Solved solved = now->at(travel_mm[i], start);
            start = solved.half_tan;
            set_state(corner, *now, solved, at_rest, Column(block, travel_mm.size(), i));
        }
    });
}

}  // namespace shimwise
