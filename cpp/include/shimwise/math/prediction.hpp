// What a linear fit says of a place where nothing was observed, and where it reaches a value: prediction and inverse
// prediction.
#pragma once

#include <Eigen/Core>

#include "shimwise/math/least_squares.hpp"

namespace shimwise {

/// How one observation scatters about what is fitted: `standard` as so many degrees of freedom show it, or known
/// beforehand where `degrees` is 0.
struct Scatter {
    double standard = 0.0;
    int degrees = 0;

    /// Probability of a standardised value below: Student's, or the normal one where the scatter is known.
    double below(double standardised) const;
    /// Half the width of the interval that holds this share, in standard deviations.
    double factor(double share) const;
};

/// As the residuals of a fit with equal weights of 1 show it. Precondition: degrees of freedom, otherwise
/// std::invalid_argument.
Scatter scatter_shown(const LinearFit& fit);

/// What an observation made of `row` will be, equal weights of 1.
struct Predicted {
    double mean = 0.0;
    double mean_u = 0.0;    // standard uncertainty of the fitted mean
    double single_u = 0.0;  // of one more observation about it
};
Predicted predict(const LinearFit& fit, const Scatter& scatter, const Eigen::VectorXd& row);

/// The places x that cannot be told from a root of u + x v, for normal u and v.
struct Root {
    enum class Known {
        between,    // low <= x <= high
        outside,    // x <= low or x >= high: v may be 0
        from,       // x >= low
        to,         // x <= high
        everywhere  // u and v may both be 0
    };
    Known known = Known::everywhere;
    double at = 0.0;  // -u / v; not finite where v is 0
    double low = 0.0, high = 0.0;
};

/// Every x with (u + x v)^2 <= k^2 var(u + x v): with a standard normal or Student's k it covers the root as often as
/// k says, exactly (Fieller, J. R. Stat. Soc. B 16 (1954) 175). Precondition: a covariance of u and v.
Root fieller(double u, double v, const Eigen::Matrix2d& covariance, double k);

enum class Of { mean, single };

/// Inverse prediction: the x at which the fit's `start` + x `along` is y, with the share of its confidence; of the
/// mean, or of one more observation that is y.
Root reaches(const LinearFit& fit, const Scatter& scatter, const Eigen::VectorXd& start, const Eigen::VectorXd& along,
             double y, double share, Of of = Of::mean);

}  // namespace shimwise
