// Student's t distribution.
#pragma once

namespace shimwise {

/// Probability of a value below t, half the regularised incomplete beta function of degrees / (degrees + t^2) in the
/// tail that keeps its digits (Abramowitz and Stegun 26.7.1, 26.5.8). Precondition: degrees > 0, otherwise
/// std::invalid_argument.
double student_below(double t, int degrees);

/// The value below which lies probability p. Precondition: 0 < p < 1 and degrees > 0, otherwise std::invalid_argument.
double student_quantile(double p, int degrees);

}  // namespace shimwise
