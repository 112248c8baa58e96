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
template <std::size_t K>
struct Along {
    double value;
    double by[K];
    double half_tan_and[K];
};

inline constexpr std::size_t newton_locals = by_setting;  // no settings
inline constexpr std::size_t table_locals = 12;
inline constexpr std::size_t table_settings = table_locals - by_setting;  // in one pass

template <std::size_t K>
struct CornerNumbers {
    Along<K> wheel_centre[3], wheel_axis[3], unsprung_cg[3], third[3];
    Along<K> spring_length, platform, bar_rad;
    double room, bar_room;  // below 0: the linkage, the drop link does not close
};

/// Fills the numbers from an evaluation in scalars `T`, each written by `put(to, from)`.
template <std::size_t K, class T, class Put>
[[gnu::always_inline]] inline void collect(const Riders& riders, const T& platform, const Pose<T>& p, const Strut<T>& s,
                                           const Riding<T>& r, const Put& put, CornerNumbers<K>& to) {
    const Vec3<T>* const from[] = {&p.wheel_centre, &p.wheel_axis, &r.unsprung_cg, &r.third};
    Along<K>* const places[] = {to.wheel_centre, to.wheel_axis, to.unsprung_cg, to.third};
    for (std::size_t i = 0; i < (riders.has_third ? 4U : 3U); ++i) {
        put(places[i][0], from[i]->x);
        put(places[i][1], from[i]->y);
        put(places[i][2], from[i]->z);
    }
    put(to.spring_length, s.spring_length);
    put(to.platform, platform);
    if (riders.has_bar) put(to.bar_rad, r.bar_rad);
    const double upright = p.upper_room.value(), track_rod = p.track_rod_room.value(), strut = s.room.value();
    const double both = upright < track_rod ? upright : track_rod;
    to.room = both < strut ? both : strut;
    to.bar_room = r.bar_room.value();
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
