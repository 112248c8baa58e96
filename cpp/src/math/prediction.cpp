#include "shimwise/math/prediction.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/math/normal.hpp"
#include "shimwise/math/student.hpp"

namespace shimwise {

double Scatter::below(double standardised) const {
    return degrees > 0 ? student_below(standardised, degrees) : normal_below(standardised);
}

double Scatter::factor(double share) const {
    const double p = 0.5 * (1.0 + share);
    return degrees > 0 ? student_quantile(p, degrees) : normal_quantile(p);
}

Scatter scatter_shown(const LinearFit& fit) { return {std::sqrt(fit.variance()), fit.degrees_of_freedom}; }

Predicted predict(const LinearFit& fit, const Scatter& scatter, const Eigen::VectorXd& row) {
    const double of_mean = row.dot(fit.cofactor * row);
    return {row.dot(fit.x), scatter.standard * std::sqrt(of_mean), scatter.standard * std::sqrt(1.0 + of_mean)};
}

Root fieller(double u, double v, const Eigen::Matrix2d& covariance, double k) {
    // a x^2 + 2 b x + c <= 0
    const Eigen::Matrix2d part = k * k * covariance;
    const double a = v * v - part(1, 1), b = u * v - part(0, 1), c = u * u - part(0, 0);
    Root root;
    root.at = -u / v;
    if (a == 0.0) {  // one end has gone to infinity
        if (b == 0.0) return root;
        root.known = b > 0.0 ? Root::Known::to : Root::Known::from;
        root.low = root.high = -0.5 * c / b;
        return root;
    }
    const double discriminant = b * b - a * c;
    if (!(discriminant >= 0.0)) {
        if (!(a > 0.0)) return root;
        // Not above 0 in exact numbers where a is: the two ends are one in the digits there are.
        root.known = Root::Known::between;
        root.low = root.high = root.at;
        return root;
    }
    const double sum = -(b + std::copysign(std::sqrt(discriminant), b));  // nothing cancels in it
    const double one = sum / a, other = sum == 0.0 ? one : c / sum;
    root.known = a > 0.0 ? Root::Known::between : Root::Known::outside;
    root.low = std::min(one, other);
    root.high = std::max(one, other);
    return root;
}

Root reaches(const LinearFit& fit, const Scatter& scatter, const Eigen::VectorXd& start, const Eigen::VectorXd& along,
             double y, double share, Of of) {
    Eigen::MatrixXd rows(2, fit.x.size());
    rows << start.transpose(), along.transpose();
    Eigen::Matrix2d covariance = rows * fit.cofactor * rows.transpose();
    if (of == Of::single) covariance(0, 0) += 1.0;
    const double k = scatter.factor(share) * scatter.standard;
    return fieller(start.dot(fit.x) - y, along.dot(fit.x), covariance, k);
}

}  // namespace shimwise
