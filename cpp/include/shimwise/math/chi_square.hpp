// The chi-square distribution.
#pragma once

namespace shimwise {

/// Probability that a sum of squares of so many standard normal numbers exceeds x: the finite sums of Abramowitz and
/// Stegun 26.4.4 and 26.4.5. 1 of no numbers where x is 0, else 0.
double chi_square_above(double x, int degrees);

}  // namespace shimwise
