#include "shimwise/math/student.hpp"

#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

namespace shimwise {
namespace {

void demand_degrees(int degrees) {
    if (degrees <= 0) throw std::invalid_argument("Student's t: needs one degree of freedom or more");
}

/// Gamma((degrees + 1) / 2) / Gamma(degrees / 2), from 1 / sqrt(pi) of one and sqrt(pi) / 2 of two.
double gamma_ratio(int degrees) {
    const bool odd = degrees % 2 == 1;
    double ratio = odd ? std::sqrt(std::numbers::inv_pi) : 0.5 / std::sqrt(std::numbers::inv_pi);
    for (int k = odd ? 1 : 2; k < degrees; k += 2) ratio *= (k + 1.0) / k;
    return ratio;
}

double density(double t, int degrees) {
    const double scale = gamma_ratio(degrees) / std::sqrt(degrees * std::numbers::pi);
    return scale * std::exp(-0.5 * (degrees + 1.0) * std::log1p(t * t / degrees));
}

/// Continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8), forward as Lentz does. It
/// converges fast where x < (a + 1) / (a + b + 2).
double beta_fraction(double a, double b, double x) {
    constexpr double tiny = 1e-300;
    constexpr int most = 10'000;
    const auto kept = [](double value) { return std::abs(value) < tiny ? tiny : value; };
    double c = 1.0, d = 1.0 / kept(1.0 - (a + b) * x / (a + 1.0)), f = d;
    for (int m = 1; m < most; ++m) {
        const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        double step = 1.0;
        for (const double term : {even, odd}) {
            d = 1.0 / kept(1.0 + term * d);
            c = kept(1.0 + term / c);
            f *= c * d;
            step = c * d;
        }
        if (std::abs(step - 1.0) <= std::numeric_limits<double>::epsilon()) break;
    }
    return f;
}

/// Probability above t >= 0: half of I_x(degrees / 2, 1 / 2), x = degrees / (degrees + t^2).
double above(double t, int degrees) {
    const double a = 0.5 * degrees, ratio = t * t / degrees;
    const double x = 1.0 / (1.0 + ratio), y = 1.0 / (1.0 + 1.0 / ratio);
    // x^a y^(1/2) / B(a, 1/2)
    const double power = std::exp(-a * std::log1p(ratio)) * std::sqrt(y);
    const double front = power * gamma_ratio(degrees) * std::sqrt(std::numbers::inv_pi);
    if (x < (a + 1.0) / (a + 2.5)) return 0.5 * front * beta_fraction(a, 0.5, x) / a;
    return 0.5 - front * beta_fraction(0.5, a, y);
}

}  // namespace

double student_below(double t, int degrees) {
    demand_degrees(degrees);
    if (std::isinf(t)) return t < 0.0 ? 0.0 : 1.0;
    return t < 0.0 ? above(-t, degrees) : 1.0 - above(t, degrees);
}

double student_quantile(double p, int degrees) {
    demand_degrees(degrees);
    if (!(p > 0.0 && p < 1.0)) throw std::invalid_argument("Student's t: needs a probability between 0 and 1");
    if (p == 0.5) return 0.0;
    const double tail = p < 0.5 ? p : 1.0 - p;
    double low = 0.0, high = 1.0;
    while (above(high, degrees) > tail && high < 1e150) low = high, high *= 2.0;
    // Newton, halved where it leaves the bracket.
    double t = 0.5 * (low + high);
    for (int i = 0; i < 200; ++i) {
        const double over = above(t, degrees) - tail;
        (over > 0.0 ? low : high) = t;
        double next = t + over / density(t, degrees);
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        if (std::abs(next - t) <= 4.0 * std::numeric_limits<double>::epsilon() * next) break;
        t = next;
    }
    return std::copysign(t, p - 0.5);
}

}  // namespace shimwise
