#include "shimwise/math/chi_square.hpp"

#include <cmath>
#include <numbers>

namespace shimwise {

double chi_square_above(double x, int degrees) {
    if (degrees <= 0) return x > 0.0 ? 0.0 : 1.0;
    const double half = 0.5 * x;
    const bool odd = degrees % 2 == 1;
    double above = odd ? std::erfc(std::sqrt(half)) : 0.0;
    // half^k e^-half / gamma(k + 1), k = 0, 1, .. or 1/2, 3/2, ..
    double k = odd ? 0.5 : 0.0;
    double term = std::exp(-half) * (odd ? 2.0 * std::sqrt(half * std::numbers::inv_pi) : 1.0);
    for (; 2.0 * k < degrees - 1.5; term *= half / ++k) above += term;
    return above;
}

}  // namespace shimwise
