// Four cars at once; included after kernel.inl. All types are of the unnamed namespace: no symbol is shared.

#include <new>

#include "motion/raised.hpp"
#include "rest/kernel.hpp"
#include "shimwise/math/taylor.hpp"

namespace shimwise {
namespace {

using Lanes = Pack<Local>;
using AlongLanes = TaylorOf<Lanes>;

struct Kept {
    const Riders* riders;
    Linkage<Lanes> linkage;
    RiderPlaces<Lanes> places;
    Lanes platform;
    Linkage<AlongLanes> along;
    RiderPlaces<AlongLanes> places_along;
    CornerNumbers<newton_locals, Lanes> numbers;
};
static_assert(sizeof(Kept) <= sizeof(FourCorners) && alignof(Kept) <= alignof(FourCorners));

Kept& kept(FourCorners& four) { return *std::launder(reinterpret_cast<Kept*>(four.kept)); }
const Kept& kept(const FourCorners& four) { return *std::launder(reinterpret_cast<const Kept*>(four.kept)); }

Vec3<Lanes> vector(const FourVectors& v) { return {Lanes::of(v.x), Lanes::of(v.y), Lanes::of(v.z)}; }

void put(FourVectors& to, const Vec3<Lanes>& from) {
    from.x.into(to.x);
    from.y.into(to.y);
    from.z.into(to.z);
}

void set(const PlainCorner* const* each, FourCorners& four) {
    const auto of_each = [each](const auto& of, const auto& get) __attribute__((always_inline)) {
        Lanes r;
        for (int i = 0; i < Lanes::lanes; ++i) r.v[i] = get(of(*each[i]));
        return r;
    };
    Kept& k = *new (four.kept) Kept;
    k.riders = each[0]->riders;
    const auto linkage = [](const PlainCorner& c) -> const Linkage<double>& { return c.linkage; };
    const auto places = [](const PlainCorner& c) -> const RiderPlaces<double>& { return c.places; };
    k.linkage = linkage_of<Lanes>(*each[0]->linkage.geometry, [&](const auto& get) __attribute__((always_inline)) {
        return of_each(linkage, get);
    });
    k.places = places_of<Lanes>(*k.riders,
                                [&](const auto& get) __attribute__((always_inline)) { return of_each(places, get); });
    k.platform = of_each([](const PlainCorner& c) { return c.platform_mm; }, [](double x) { return x; });
    k.along = raised<AlongLanes>(k.linkage);
    k.places_along = raised<AlongLanes>(k.places, *k.riders);
}

unsigned follow(const FourCorners& four, const FourHeld& held, FourNumbers& half_tan) {
    const HoldAlong<Lanes> hold = {Held::contact, vector(held.up)};
    const Position<Lanes> found = position(kept(four).linkage, hold, Lanes::of(held.value), Lanes::of(held.start));
    found.half_tan.into(half_tan);
    unsigned missed = 0;
    for (int i = 0; i < Lanes::lanes; ++i) missed |= found.met[i] == 0 ? 1U << i : 0U;
    return missed;
}

void go(FourCorners& four, const FourNumbers& half_tan, FourStruts& out) {
    Kept& k = kept(four);
    const Pose<AlongLanes> p = pose(k.along, AlongLanes(Lanes::of(half_tan), Lanes(1.0), Lanes(0.0)));
    const Strut<AlongLanes> s = strut(k.along, p);
    const auto put = [](Along<newton_locals, Lanes>& to, const AlongLanes& from) {
        to = {from.v, {Lanes(0.0), Lanes(0.0), from.d}, {Lanes(0.0), Lanes(0.0), from.dd}};
    };
    const auto put_room = [](Lanes& to, const Lanes& room) { to = room; };
    collect(*k.riders, AlongLanes(k.platform), p, s, riding(*k.riders, k.places_along, k.along, p, s), put, put_room,
            k.numbers);
    k.numbers.spring_length.value.into(out.spring_length);
    k.numbers.platform.value.into(out.platform);
    k.numbers.room.into(out.room);
    k.numbers.bar_room.into(out.bar_room);
}

struct LoadsOfLanes {
    Lanes spring_N, spring_N_per_mm, rubber_N, rubber_N_per_mm, energy_Nmm;
};

void jets(const FourCorners& four, const FourTurns& turns, const FourLoads& loads, double unsprung_kg,
          CornerJets<newton_locals, FourNumbers>& out) {
    const Kept& k = kept(four);
    const UpOf<Lanes> up(Turn<Lanes>{Lanes::of(turns.pitch_sine), Lanes::of(turns.pitch_cosine),
                                     Lanes::of(turns.roll_sine), Lanes::of(turns.roll_cosine)});
    const LoadsOfLanes load = {Lanes::of(loads.spring_N), Lanes::of(loads.spring_N_per_mm), Lanes::of(loads.rubber_N),
                               Lanes::of(loads.rubber_N_per_mm), Lanes::of(loads.energy_Nmm)};
    const CornerJets<newton_locals, Lanes> found =
        corner_jets(*k.linkage.geometry, *k.riders, unsprung_kg, k.numbers, up, load);
    static_assert(sizeof found == sizeof out);
    __builtin_memcpy(static_cast<void*>(&out), &found, sizeof out);
}

void stances(const FourCorners& four, const FourNumbers& half_tan, const FourVectors& plumb, FourStances& out) {
    const Kept& k = kept(four);
    const Pose<Lanes> p = pose(k.linkage, Lanes::of(half_tan));
    const Vec3<Lanes> up = vector(plumb);
    put(out.contact, contact(k.linkage, p, up));
    stance(k.linkage, p, up).outboard.into(out.outboard);
    strut(k.linkage, p).spring_length.into(out.spring_length);
}

void values(const FourCorners& four, const FourNumbers& half_tan, const FourVectors& normal, const FourVectors& plumb,
            FourValues& out) {
    const Kept& k = kept(four);
    const Pose<Lanes> p = pose(k.linkage, Lanes::of(half_tan));
    const Strut<Lanes> s = strut(k.linkage, p);
    const Riding<Lanes> r = riding(*k.riders, k.places, k.linkage, p, s);
    const Vec3<Lanes> up = vector(plumb);
    const Axes<Lanes> ground = frame_over(vector(normal));
    const double left = k.linkage.geometry->left;
    Outputs<Lanes> over_ground = outputs(k.linkage, p, s, ground);
    measure_to(contact(k.linkage, p, up), ground, left, axis_lean(ground, left, p.steering_axis), p.lower_outer,
               over_ground);
    for (std::size_t o = 0; o < output_count; ++o) over_ground[o].into(out.outputs[o]);
    r.bar_rad.into(out.bar_rad);
    inclination_deg(dot(p.wheel_axis, up)).into(out.inclination_to_plumb_deg);
    if (k.riders->has_third) put(out.third, r.third);
}

}  // namespace
}  // namespace shimwise
