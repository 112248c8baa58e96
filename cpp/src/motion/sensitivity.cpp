#include "shimwise/motion/sensitivity.hpp"

#include "shimwise/error.hpp"

namespace shimwise {
namespace {

using Scalar = Dual<Block2, 1>;  // derivatives by the arm and by the adjuster

Linkage<Scalar> seeded(const Geometry& geometry, const Setup& setup, std::size_t adjuster) {
    std::vector<Scalar> amounts(setup.amounts_mm.begin(), setup.amounts_mm.end());
    amounts[adjuster].d[0] = Block2{0.0, 1.0};
    return linkage(geometry, parts(geometry, amounts.data(), Scalar(setup.rack_mm)));
}

}  // namespace

SensitivitySweep::SensitivitySweep(const Setup& setup, std::size_t adjuster, const Hold& hold, double low, double high,
                                   const Frame& frame)
    : geometry_(setup.geometry),
      linkage_(seeded(geometry_, setup, adjuster)),
      hold_(hold),
      frame_(frame),
      starts_(linkage(setup.geometry, setup.parts()), hold, low, high) {
    for (const double end : {low, high}) outputs_at(setup, hold, end, frame);
    if (!starts_.usable()) throw OutOfReach("a held value between the ends of the sweep can not be reached");
}

Sensitivity SensitivitySweep::operator()(double value) const {
    Scalar arm(starts_(value));
    arm.d[0] = Block2{1.0, 0.0};
    const Pose<Scalar> p = pose(linkage_, arm);
    const Scalar held = hold_.what == Held::spring ? strut(linkage_, p).spring_length : held_height(linkage_, p, hold_);
    const Alignment<Scalar> a = alignment(linkage_, p, frame_);

    const double per_arm = 1.0 / held.d[0][0];
    const double step = (value - held.v) * per_arm;
    const double arm_per_mm = held.d[0][1] * per_arm;
    return {arm.v + step, a.toe_deg.v + a.toe_deg.d[0][0] * step, a.camber_deg.v + a.camber_deg.d[0][0] * step,
            a.toe_deg.d[0][1] - a.toe_deg.d[0][0] * arm_per_mm,
            a.camber_deg.d[0][1] - a.camber_deg.d[0][0] * arm_per_mm};
}

}  // namespace shimwise
