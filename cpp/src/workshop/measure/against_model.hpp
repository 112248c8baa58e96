// A sheet of readings beside the car at rest: what it is off, how far that may be, and what each input makes of it.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// Rows: every value that was read and is not derived, then for each wheel between strings the mean of its flags.
struct AgainstModel {
    Eigen::VectorXd off;          // read less what the model says
    Eigen::MatrixXd covariance;   // by the instruments, by settling, and by how well the car is known
    Eigen::MatrixXd by_inputs;    // of `off`, columns as `Measured::inputs`
    Eigen::MatrixXd by_settings;  // by what another setting of each adjuster, and another load, may make
};

/// `given` is the car that was given to `reduce`. Nothing where it does not stand by the model, or nothing was read.
std::optional<AgainstModel> against_model(const Measured& measured, const Car& given);

}  // namespace shimwise
