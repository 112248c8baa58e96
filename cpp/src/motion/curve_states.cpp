#include "motion/curve_states.hpp"

#include <cmath>
#include <limits>
#include <utility>
#include <vector>

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

void set(CurveRow& row, Curve curve, double value) { row[output_count + index(curve)] = value; }

/// Screw of the upright's motion as the wheel rises: with w its turn and v the wheel centre's velocity, the axis runs
/// along w through the wheel centre + w x v / |w|^2, and its pitch is w . v / |w|^2.
void set_instant_axis(const Linkage<double>& l, const Pose<double>& p, CurveRow& row) {
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
    set(row, Curve::instant_axis_x, at.x);
    set(row, Curve::instant_axis_y, at.y);
    set(row, Curve::instant_axis_z, at.z);
    set(row, Curve::instant_axis_along_x, axis.x);
    set(row, Curve::instant_axis_along_y, axis.y);
    set(row, Curve::instant_axis_along_z, axis.z);
    set(row, Curve::instant_axis_pitch, turns ? dot(turn, velocity) / turn2 : far);
}

/// With F the force and k its rate by shortening, the load at the contact is F MR; by the contact's rise it grows by
/// k MR^2 + F dMR/dz.
void set_loads(const StrutLoad& load, double motion_ratio, double gain, CurveRow& row) {
    const double spring = load.spring_N_per_mm * motion_ratio * motion_ratio;
    const double rubber = load.rubber_N_per_mm * motion_ratio * motion_ratio;
    const double by_load = (load.spring_N + load.rubber_N) * gain;
    set(row, Curve::spring_load, load.spring_N);
    set(row, Curve::rubber_load, load.rubber_N);
    set(row, Curve::wheel_rate_spring, spring);
    set(row, Curve::wheel_rate_rubber, rubber);
    set(row, Curve::wheel_rate_load, by_load);
    set(row, Curve::wheel_rate, spring + rubber + by_load);
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

}  // namespace

CurveStates::CurveStates(const Corner& corner, Setup now)
    : corner_(corner),
      now_(std::move(now)),
      plain_(linkage(now_.geometry, now_.parts())),
      along_(with_slope(now_.geometry, now_)) {
    if (!corner.tyre) return;
    tyre_ = on_tyre(now_.geometry, *corner.tyre);
    along_on_tyre_ = with_slope(*tyre_, now_);
}

double CurveStates::contact_x(const Solved& solved) const { return contact(plain_, solved.pose, Hold{}.up).x; }

CurveRow CurveStates::row(const Solved& solved, double contact_x_at_rest) const {
    CurveRow row;
    row.fill(std::numeric_limits<double>::quiet_NaN());
    const Outputs<Along> out = outputs_along(along_, solved.half_tan);
    for (std::size_t o = 0; o < output_count; ++o) row[o] = out[o].value();

    const double x = contact_x(solved);
    const double forward = is_front(corner_.id) ? 1.0 : -1.0;
    const double gain = by_rise(out, Output::motion_ratio);
    set(row, Curve::contact_x, x);
    set(row, Curve::wheelbase_change, (x - contact_x_at_rest) * forward);
    set(row, Curve::roll_centre_height, roll_centre_height(out));
    set(row, Curve::motion_ratio_gain, gain);
    set_instant_axis(plain_, solved.pose, row);
    if (along_on_tyre_) {
        const Outputs<Along> runs = outputs_along(*along_on_tyre_, solved.half_tan);
        set(row, Curve::trail_as_it_runs, runs[index(Output::trail)].value());
        set(row, Curve::scrub_as_it_runs, runs[index(Output::scrub)].value());
        set(row, Curve::roll_centre_height_as_it_runs, roll_centre_height(runs));
    }
    if (load_is_given(corner_))
        set_loads(
            strut_load(corner_, now_.parts().at(Length::spring_platform), out[index(Output::spring_length)].value()),
            out[index(Output::motion_ratio)].value(), gain, row);
    return row;
}

}  // namespace shimwise
