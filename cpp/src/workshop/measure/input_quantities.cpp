#include "shimwise/workshop/measure/input_quantities.hpp"

#include <cmath>

namespace shimwise {
namespace {

template <class Deviation>
Eigen::MatrixXd squares(const std::vector<InputQuantity>& inputs, const Deviation& deviation) {
    Eigen::VectorXd variance(static_cast<Eigen::Index>(inputs.size()));
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        const double u = deviation(inputs[i]);
        variance(static_cast<Eigen::Index>(i)) = u * u;
    }
    return variance.asDiagonal();
}

}  // namespace

double Spread::standard() const { return std::hypot(last_digit / std::sqrt(12.0), normal); }

double InputQuantity::standard() const { return std::hypot(anew.standard(), stays.standard()); }

Eigen::MatrixXd covariance_of(const std::vector<InputQuantity>& inputs) {
    return squares(inputs, [](const InputQuantity& input) { return input.standard(); });
}

Eigen::MatrixXd anew_covariance_of(const std::vector<InputQuantity>& inputs) {
    return squares(inputs, [](const InputQuantity& input) { return input.anew.standard(); });
}

}  // namespace shimwise
