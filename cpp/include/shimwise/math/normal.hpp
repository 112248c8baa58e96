// The standard normal distribution.
#pragma once

namespace shimwise {

/// Probability of a value below x: erfc(-x/sqrt 2)/2, which keeps its digits in the lower tail.
double normal_below(double x);

/// Probability of a value between two, from the tail where it keeps its digits; 0 where they are in the wrong order.
double normal_between(double low, double high);

/// The value below which lies probability p, to 16 digits: rational forms of Wichura, Applied Statistics 37 (1988) 477,
/// algorithm AS 241 (PPND16). Precondition: 0 < p < 1.
double normal_quantile(double p);

}  // namespace shimwise
