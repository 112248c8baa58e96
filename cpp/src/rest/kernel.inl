// Included by one translation unit per instruction set, and by others than kernel.inl: what has one caller is inlined.
// All types are of the unnamed namespace: no symbol is shared.

#include "motion/raised.hpp"
#include "rest/kernel.hpp"

namespace shimwise {
namespace {

struct Local {};
using Table = Dual<Block4, 3, Local>;
using Nested = Dual<Table, 1, Local>;

/// The adjusters' amounts, then the rack's travel.
template <class T, class Seed>
void set_amounts(const RestInput& in, T* amounts, const Seed& seed) {
    for (int a = 0; a < in.adjuster_count; ++a) amounts[a] = T(in.amounts_mm[a]);
    amounts[in.adjuster_count] = T(in.rack_mm);
    const auto left = static_cast<std::size_t>(in.adjuster_count + 1 - in.first_adjuster);
    for (std::size_t a = 0; a < (left < table_settings ? left : table_settings); ++a)
        seed(amounts[static_cast<std::size_t>(in.first_adjuster) + a], by_setting + a);
}

/// Nested: the outer derivative runs along the half tangent.
void numbers(const RestInput& in, CornerNumbers<table_locals>& out) {
    const auto seed = [](Table& x, std::size_t place) { x.d[place / 4][place % 4] = 1.0; };
    Table amounts[max_adjusters + 1];
    set_amounts(in, amounts, seed);
    const Parts<Table> set = parts(*in.geometry, amounts, amounts[in.adjuster_count]);
    const Linkage<Table> as_set = linkage(*in.geometry, set);
    const Linkage<Nested> l = raised<Nested>(as_set);
    const auto places = raised<Nested>(rider_places(*in.riders, set, as_set), *in.riders);
    Nested half_tan(in.half_tan);
    seed(half_tan.v, by_half_tan);
    half_tan.d[0] = Table(1.0);
    const Pose<Nested> p = pose(l, half_tan);
    const Strut<Nested> s = strut(l, p);
    const auto put = [](Along<table_locals>& to, const Nested& from) {
        to.value = from.v.v;
        __builtin_memcpy(to.by, from.v.d, sizeof to.by);
        __builtin_memcpy(to.half_tan_and, from.d[0].d, sizeof to.half_tan_and);
    };
    const Nested platform(set.at(Length::spring_platform));
    const auto put_room = [](double& to, double room) { to = room; };
    collect(*in.riders, platform, p, s, riding(*in.riders, places, l, p, s), put, put_room, out);
}

/// A unit vector near z with derivatives by its x and y.
Vec3<Table> upward(const Vec3<double>& v) {
    Table x(v.x), y(v.y);
    x.d[0][by_pitch] = 1.0;
    y.d[0][by_roll] = 1.0;
    return {x, y, sqrt(1.0 - square(x) - square(y))};
}

/// Without derivatives by what is up there.
Vec3<Table> still(Vec3<Table> v) {
    for (Table* x : {&v.x, &v.y, &v.z}) x->d[0][by_pitch] = x->d[0][by_roll] = 0.0;
    return v;
}

void standing(const RestInput& in, double* values, double* rates) {
    const auto seed = [](Table& x, std::size_t place) { x.d[place / 4][place % 4] = 1.0; };
    Table amounts[max_adjusters + 1];
    set_amounts(in, amounts, seed);
    Table half_tan(in.half_tan);
    seed(half_tan, by_half_tan);
    const Parts<Table> set = parts(*in.geometry, amounts, amounts[in.adjuster_count]);
    const Linkage<Table> l = linkage(*in.geometry, set);
    const Pose<Table> p = pose(l, half_tan);
    const Strut<Table> s = strut(l, p);
    const Riding<Table> r = riding(*in.riders, set, l, p, s);
    const auto put = [&](std::size_t row, const Table& x) {
        values[row] = x.v;
        __builtin_memcpy(rates + row * table_locals, x.d, sizeof x.d);
    };
    const auto vector = [&put](std::size_t row, const Vec3<Table>& v) {
        put(row, v.x);
        put(row + 1, v.y);
        put(row + 2, v.z);
    };
    const Vec3<Table> plumb = upward(in.plumb), touches = contact(l, p, plumb);
    const Axes<Table> ground = frame_over(upward(in.normal));
    const double left = in.geometry->left;
    Outputs<Table> out = outputs(l, p, s, ground);
    measure_to(still(touches), ground, left, axis_lean(ground, left, p.steering_axis), p.lower_outer, out);
    for (std::size_t o = 0; o < output_count; ++o) put(o, out[o]);
    vector(contact_row, touches);
    put(inclination_to_plumb_row, inclination_deg(dot(p.wheel_axis, plumb)));
    put(spring_length_row, s.spring_length);
    put(platform_row, set.at(Length::spring_platform));
    put(bar_row, in.riders->has_bar ? r.bar_rad : Table(0.0));
    vector(third_row, in.riders->has_third ? r.third : Vec3<Table>(Table(0.0), Table(0.0), Table(0.0)));
}

}  // namespace
}  // namespace shimwise
