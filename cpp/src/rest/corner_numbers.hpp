// What of a corner enters the energy of the car at rest, with derivatives by its half tangent and its settings. Plain
// numbers: they cross the border to the units of one instruction set.
#pragma once

#include "shimwise/motion/outputs.hpp"
#include "shimwise/rest/riding.hpp"

namespace shimwise {

/// Places of derivatives. Nothing of a corner by itself depends on the chassis' pitch and roll; what looks along plumb
/// does, and keeps its derivatives there.
enum Local : std::size_t { by_pitch, by_roll, by_half_tan, by_setting };

/// A number, its derivatives, and those of its derivative by the half tangent.
template <std::size_t K, class N = double>
struct Along {
    N value;
    N by[K];
    N half_tan_and[K];
};

inline constexpr std::size_t newton_locals = by_setting;  // no settings
inline constexpr std::size_t table_locals = 12;
inline constexpr std::size_t table_settings = table_locals - by_setting;  // in one pass

template <std::size_t K, class N = double>
struct CornerNumbers {
    Along<K, N> wheel_centre[3], wheel_axis[3], unsprung_cg[3], third[3];
    Along<K, N> spring_length, platform, bar_rad;
    N room, bar_room;  // below 0: the linkage, the drop link does not close
};

/// Fills the numbers from an evaluation in scalars `T`, each written by `put(to, from)`, rooms by `put_room(to, from)`.
template <std::size_t K, class N, class T, class Put, class PutRoom>
[[gnu::always_inline]] inline void collect(const Riders& riders, const T& platform, const Pose<T>& p, const Strut<T>& s,
                                           const Riding<T>& r, const Put& put, const PutRoom& put_room,
                                           CornerNumbers<K, N>& to) {
    const Vec3<T>* const from[] = {&p.wheel_centre, &p.wheel_axis, &r.unsprung_cg, &r.third};
    Along<K, N>* const places[] = {to.wheel_centre, to.wheel_axis, to.unsprung_cg, to.third};
    for (std::size_t i = 0; i < (riders.has_third ? 4U : 3U); ++i) {
        put(places[i][0], from[i]->x);
        put(places[i][1], from[i]->y);
        put(places[i][2], from[i]->z);
    }
    put(to.spring_length, s.spring_length);
    put(to.platform, platform);
    if (riders.has_bar) put(to.bar_rad, r.bar_rad);
    const auto less = [](const auto& a, const auto& b) __attribute__((always_inline)) { return select(a < b, a, b); };
    put_room(to.room, less(less(p.upper_room.value(), p.track_rod_room.value()), s.room.value()));
    put_room(to.bar_room, r.bar_room.value());
}

/// Rows of a standing corner's values: `output_list`, then these.
enum StandingRow : std::size_t {
    contact_row = output_count,
    spring_length_row = contact_row + 3,
    platform_row,
    bar_row,
    third_row,
    inclination_to_plumb_row = third_row + 3
};
inline constexpr std::size_t standing_rows = inclination_to_plumb_row + 1;

}  // namespace shimwise
