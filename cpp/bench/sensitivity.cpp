#include "sensitivity.hpp"

#include "shimwise/error.hpp"
#include "shimwise/motion/starts.hpp"

namespace bench {

using namespace shimwise;

namespace {

struct Local {};                        // the templates are then this file's own, and inlined
using Scalar = Dual<Block2, 1, Local>;  // derivatives by the half tangent and by the adjuster

[[gnu::flatten]] Linkage<Scalar> seeded(const Geometry& geometry, const Setup& setup, std::size_t adjuster) {
    Scalar amounts[max_adjusters];
    for (std::size_t a = 0; a < setup.amounts_mm.size(); ++a) amounts[a] = Scalar(setup.amounts_mm[a]);
    amounts[adjuster].d[0] = Block2{0.0, 1.0};
    return linkage(geometry, parts(geometry, amounts, Scalar(setup.rack_mm)));
}

/// One evaluation at a half tangent, and to first order what is missing to the held value; then it is eliminated.
[[gnu::flatten]] Sensitivity evaluated(const Linkage<Scalar>& l, const Hold& hold, const Frame& frame, double value,
                                       double start) {
    Scalar half_tan(start);
    half_tan.d[0] = Block2{1.0, 0.0};
    const Pose<Scalar> p = pose(l, half_tan);
    const Scalar held = hold.what == Held::spring ? strut(l, p).spring_length : held_height(l, p, hold);
    const Alignment<Scalar> a = alignment(l, p, frame);

    const double per_half_tan = 1.0 / held.d[0][0];
    const double step = (value - held.value()) * per_half_tan;
    const double half_tan_per_mm = held.d[0][1] * per_half_tan;
    return {start + step, a.toe_deg.value() + a.toe_deg.d[0][0] * step,
            a.camber_deg.value() + a.camber_deg.d[0][0] * step, a.toe_deg.d[0][1] - a.toe_deg.d[0][0] * half_tan_per_mm,
            a.camber_deg.d[0][1] - a.camber_deg.d[0][0] * half_tan_per_mm};
}

/// From a nanometre one Newton step more is exact to the last digit.
constexpr double nearly_mm = 1e-6;

[[gnu::flatten]] double solved_half_tan(const Linkage<double>& l, const Hold& hold, double value, double start) {
    const Position<double> found = position(l, hold, value, start, nearly_mm);
    if (found.met && strut(l, found.pose).room > 0.0) return found.next;
    const Solved solved = solve(l, hold, value, start);
    if (solved.status != Status::ok) throw OutOfReach(in_words(solved, l, hold));
    return solved.half_tan;
}

}  // namespace

struct SensitivitySweep::Constants {
    Geometry geometry;
    Linkage<double> plain;
    Linkage<Scalar> seeded;
    Hold hold;
    Frame frame;
    Starts starts;

    Constants(const Setup& setup, std::size_t adjuster, const Hold& hold_, double low, double high, const Frame& frame_)
        : geometry(setup.geometry),
          plain(linkage(geometry, setup.parts())),
          seeded(bench::seeded(geometry, setup, adjuster)),
          hold(hold_),
          frame(frame_),
          starts(plain, hold, low, high) {}
};

SensitivitySweep::SensitivitySweep(const Setup& setup, std::size_t adjuster, const Hold& hold, double low, double high,
                                   const Frame& frame)
    : constants_(std::make_unique<Constants>(setup, adjuster, hold, low, high, frame)) {
    for (const double end : {low, high}) from_drawn(end);
    if (!constants_->starts.usable()) throw OutOfReach("a held value between the ends of the sweep can not be reached");
}
SensitivitySweep::~SensitivitySweep() = default;

Sensitivity SensitivitySweep::operator()(double value) const {
    const Constants& c = *constants_;
    return evaluated(c.seeded, c.hold, c.frame, value, c.starts(value));
}

Sensitivity SensitivitySweep::from_drawn(double value) const {
    const Constants& c = *constants_;
    return evaluated(c.seeded, c.hold, c.frame, value, solved_half_tan(c.plain, c.hold, value, 0.0));
}

Sensitivity sensitivity(const Setup& setup, std::size_t adjuster, const Hold& hold, double value, double start,
                        const Frame& frame) {
    const double half_tan = solved_half_tan(linkage(setup.geometry, setup.parts()), hold, value, start);
    return evaluated(seeded(setup.geometry, setup, adjuster), hold, frame, value, half_tan);
}

}  // namespace bench
