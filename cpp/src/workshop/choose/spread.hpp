// How far the next reading may lie from what is predicted: what comes anew with every reading, what a hand misses.
#pragma once

#include "shimwise/workshop/choose/predict.hpp"

namespace shimwise {

/// Of two measured quantities, by their places: once in the reading that was taken, once in the next.
inline double anew_twice(const Measured& measured, std::size_t i, std::size_t j) {
    return 2.0 * measured.repeat_covariance(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
}

/// What setting adds to the covariance of two outputs: of every adjuster, its effects per mm times the variance by
/// which it is missed. `missed_mm2(a)`: that variance.
template <class Effects, class Missed>
double set_covariance(std::size_t adjusters, const Effects& one_per_mm, const Effects& other_per_mm,
                      const Missed& missed_mm2) {
    double covariance = 0.0;
    for (std::size_t a = 0; a < adjusters; ++a) covariance += one_per_mm(a) * other_per_mm(a) * missed_mm2(a);
    return covariance;
}

/// Shims that go in or out; 1 of a thread that stands differently; 0 where nothing is touched.
std::size_t moved(const Adjuster& before, const Adjuster& after);

/// Variance of an output by what a hand misses at the adjusters that stand differently, independent of each other.
double missed_variance(const AsMeasured& before, const Corner& after, Output output);

}  // namespace shimwise
