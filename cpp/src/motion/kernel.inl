// Included by one translation unit per instruction set. All types are of the unnamed namespace: no symbol is shared.

#include "motion/kernel.hpp"
#include "shimwise/math/pack.hpp"

namespace shimwise {
namespace {

struct Local {};
using Lanes = Pack<Local>;
using Table = Dual<Block4, 3, Local>;

/// The contact is held over the frame's own ground: then the chassis height is its negative, and kept as well.
bool same_ground(const TableInput& in) {
    const Vec3<double>& a = in.hold.up;
    const Vec3<double>& b = in.frame.z;
    return in.hold.what == Held::contact && a.x == b.x && a.y == b.y && a.z == b.z;
}

/// One evaluation with the half tangent t and the adjusters seeded; then t is eliminated: with H the held value,
/// d out / d s = out_s - out_t H_s / H_t. Exact to second derivatives, so motion ratio needs no rule of its own.
void table(const TableInput& in, double* values, double* rates) {
    const int left = in.adjuster_count - in.first_adjuster;
    const int count = left < adjusters_per_pass ? left : adjusters_per_pass;
    const auto seed = [](Table& x, int direction) { x.d[direction / 4][direction % 4] = 1.0; };
    Table amounts[max_adjusters];
    for (int a = 0; a < in.adjuster_count; ++a) amounts[a] = Table(in.amounts_mm[a]);
    for (int a = 0; a < count; ++a) seed(amounts[in.first_adjuster + a], a + 1);
    Table half_tan(in.half_tan);
    seed(half_tan, 0);

    const Linkage<Table> l = linkage(*in.geometry, parts(*in.geometry, amounts, Table(in.rack_mm)));
    const Pose<Table> p = pose(l, half_tan);
    const Strut<Table> s = strut(l, p);
    const Outputs<Table> out = outputs(l, p, s, in.frame);
    const Table held = same_ground(in) ? out[index(Output::chassis_height)] : held_alone(l, p, s, in.hold);

    for (std::size_t o = 0; o < output_count; ++o) {
        values[o] = out[o].value();
        const double per_held = out[o].d[0][0] / held.d[0][0];
        double* row = rates + o * rates_per_output;
        for (std::size_t i = 0; i < 3; ++i) {
            const Block4 rate = (out[o].d[i] - held.d[i] * per_held) + 0.0;  // no -0
            __builtin_memcpy(row + 4 * i, &rate, sizeof rate);
        }
    }
}

void sweep(const SweepInput& in) {
    Lanes amounts[max_adjusters];
    for (int a = 0; a < in.adjuster_count; ++a) amounts[a] = Lanes(in.amounts_mm[a]);
    const Linkage<Lanes> l = linkage(*in.geometry, parts(*in.geometry, amounts, Lanes(in.rack_mm)));
    for (long first = 0; first < in.count; first += Lanes::lanes) {
        const int used = in.count - first < Lanes::lanes ? static_cast<int>(in.count - first) : Lanes::lanes;
        Lanes value, start;
        for (int i = 0; i < Lanes::lanes; ++i) {
            const long at = first + (i < used ? i : used - 1);
            value.v[i] = in.values[at];
            start.v[i] = in.starts[at];
        }
        const Position<Lanes> found = position(l, in.hold, value, start);
        const Strut<Lanes> s = strut(l, found.pose);
        const Outputs<Lanes> out = outputs(l, found.pose, s, in.frame);
        const Mask4 met = both(found.met, s.room > Lanes(0.0));
        for (int i = 0; i < used; ++i) in.met[first + i] = met[i] != 0;
        for (std::size_t o = 0; o < output_count; ++o)
            for (int i = 0; i < used; ++i) in.columns[o][first + i] = out[o].v[i];
    }
}

}  // namespace
}  // namespace shimwise
