// Units: millimetre, newton, kilogram, second. Radian inside C++ (names end in _rad), degree where a person reads
// (_deg).
#pragma once

namespace shimwise {

inline constexpr double pi = 3.14159265358979323846;
inline constexpr double deg_per_rad = 180.0 / pi;
inline constexpr double rad_per_deg = pi / 180.0;
inline constexpr double mm_per_m = 1000.0;
inline constexpr double mm_per_inch = 25.4;
inline constexpr double flats_per_turn = 6.0;
inline constexpr double gravity_m_per_s2 = 9.80665;  // standard gravity, 3rd CGPM 1901

}  // namespace shimwise
