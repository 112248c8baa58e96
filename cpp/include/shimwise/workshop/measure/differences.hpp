// Two sheets of one car: what has changed from one to the other, and how sure that is.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// A value that both sheets have.
struct Difference {
    ValueId id;
    bool derived = false;
    double was = 0.0, is = 0.0;
    double by = 0.0;                       // is less was
    double u = 0.0;                        // its standard uncertainty
    bool changed = false;                  // it is not noise: more than `beyond_noise` times u
    std::optional<double> tolerance = {};  // `common_tolerance`
    std::optional<bool> within = {};       // the difference is no more than that
};

/// 95 % of differences where nothing has changed are smaller than so many of their standard deviations.
inline constexpr double beyond_noise = 1.959963984540054;

struct Differences {
    std::vector<Difference> values;  // in the order of the new sheet
    Eigen::MatrixXd covariance;      // of the differences
    std::vector<ValueId> only_old, only_new;
    std::vector<std::string> shared;  // instruments whose lasting errors cancel: "the camber gauge"
    std::vector<std::string> apart;   // those whose errors do not, and why
};

/// How far a value may lie off what is wanted; common practice, no source. Toe's is so many mm at the flags, by their
/// span. Nothing where there is none.
std::optional<double> common_tolerance(const ValueId& id, const Car& car);

/// Whether both sheets share what this input of both may always be off. String ends of strings on the car, zero of the
/// camber gauge and scales: where neither sheet names its instrument, or both name the same. What is read once for all
/// of a day (check of the gauge, pads, skid, strings on stands): where day, place and numbers are the same.
bool shared(const Measured& old, const InputQuantity& was, const Measured& now, const InputQuantity& is);

/// Covariance of B x' - A x for inputs x of the old sheet and x' of the new one: A V A' + B V' B', less what both
/// share, which is one error twice: with s and s' its standard deviations (B s' - A s)(B s' - A s)'.
Eigen::MatrixXd difference_covariance(const Measured& old, const Eigen::MatrixXd& A, const Measured& now,
                                      const Eigen::MatrixXd& B);

/// How these values follow from the inputs of one of the sheets: rows as they, columns as its inputs.
Eigen::MatrixXd by_inputs_of(const Measured& measured, const std::vector<Difference>& values);

/// Of all values that both sheets of this car have.
Differences differences(const Measured& old, const Measured& now, const Car& car);

}  // namespace shimwise
