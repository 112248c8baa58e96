// What every scalar offers beside + - * / sqrt: select, magnitude, with_sign_of, any/all of a comparison. Here for
// double; always inlined, so that units of different instruction sets share no symbol.
#pragma once

#include <cmath>

namespace shimwise {

[[gnu::always_inline]] inline double select(bool condition, double yes, double no) { return condition ? yes : no; }
/// a where it is above 0, otherwise 0.
[[gnu::always_inline]] inline double positive(double a) { return a > 0.0 ? a : 0.0; }
[[gnu::always_inline]] inline double magnitude(double a) { return std::fabs(a); }
[[gnu::always_inline]] inline double with_sign_of(double size, double sign) { return std::copysign(size, sign); }
[[gnu::always_inline]] inline bool all(bool condition) { return condition; }
[[gnu::always_inline]] inline bool both(bool a, bool b) { return a && b; }
[[gnu::always_inline]] inline double square(double a) { return a * a; }
[[gnu::always_inline]] inline double sqrt(double a) { return std::sqrt(a); }
}  // namespace shimwise
