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

/// The corner's drawing in each state, and in which of them its loops are drawn as the geometry's are.
Drawing<Lanes> drawing(const FourInput& in, Mask4& same_loops) {
    const Geometry& g = *in.geometry;
    DrawnPoints<Lanes> points;
    for (std::size_t i = 0; i < point_count; ++i) {
        points.at[i] = Vec3<Lanes>(in.points->at[i]);
        points.built_off[i] = Vec3<Lanes>(in.points->built_off[i]);
    }
    for (std::size_t i = 0; i < in.move_count; ++i) {
        const FourMoves& move = in.moves[i];
        Lanes& at = coordinate((in.as_drawn ? points.at : points.built_off)[move.point], move.axis);
        at = at + Lanes::of(move.by_mm);
    }
    LoopTriples<Lanes> loops;
    const Drawing<Lanes> d = drawing(g, points, loops);
    const auto same = [](const Lanes& triple, double side) {
        return (triple < Lanes(0.0)) == (Lanes(side) < Lanes(0.0));
    };
    same_loops = both(both(same(loops.upper, g.upper_side), same(loops.track_rod, g.track_rod_side)),
                      same(loops.rocker, g.rocker_side));
    return d;
}

template <class D>
unsigned four(const FourInput& in, const Drawing<D>& drawn, Mask4 ready, FourNumbers* columns) {
    const Geometry& g = *in.geometry;
    Lanes amounts[max_adjusters];
    for (int a = 0; a < in.adjuster_count; ++a) amounts[a] = Lanes::of(in.amounts_mm[a]);
    const Linkage<Lanes> l = linkage(g, drawn, parts(g, drawn, amounts, Lanes::of(in.rack_mm)));
    const Lanes held = Lanes::of(in.held);
    const Position<Lanes> found =
        position(l, in.hold, in.hold.what == Held::wheel ? drawn.wheel_height_mm + held : held, Lanes(0.0));
    const Strut<Lanes> s = strut(l, found.pose);
    const Outputs<Lanes> out = outputs(l, found.pose, s, Frame{});
    for (std::size_t o = 0; o < output_count; ++o) out[o].into(columns[o]);
    const Mask4 met = both(ready, both(found.met, s.room > Lanes(0.0)));
    unsigned missed = 0;
    for (int i = 0; i < Lanes::lanes; ++i) missed |= met[i] == 0 ? 1U << i : 0U;
    return missed;
}

unsigned four(const FourInput& in, FourNumbers* columns) {
    if (in.move_count == 0) return four(in, in.geometry->drawn, Mask4{-1, -1, -1, -1}, columns);
    Mask4 same_loops;
    const Drawing<Lanes> drawn = drawing(in, same_loops);
    return four(in, drawn, same_loops, columns);
}

}  // namespace
}  // namespace shimwise
