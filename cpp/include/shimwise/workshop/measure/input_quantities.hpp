// What measured values are made of: the readings one by one, and the errors that readings share.
#pragma once

#include <Eigen/Core>
#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace shimwise {

enum class InputKind { flag, flag_level, string_end, gauge, gauge_zero, height, pad, scale, settling, length, skid };
/// As a table says them.
inline constexpr std::array<std::string_view, 11> input_kind_words = {
    "flags", "flags' level", "string ends", "gauge",   "gauge's zero", "height",
    "pads",  "scale",        "settling",    "lengths", "skid"};

/// An error of two parts: evenly spread over a last digit, and normal.
struct Spread {
    double last_digit = 0.0;  // its whole width
    double normal = 0.0;      // standard deviation

    double standard() const;
};

/// One independent input of the measurement model.
struct InputQuantity {
    InputKind kind = InputKind::flag;
    std::string key;  // "front_left.flags.front", "strings.left.rear", "gauge.zero", "front_left.scale"
    std::string unit;
    double value = 0.0;
    Spread anew;   // comes anew whenever the same instruments read again
    Spread stays;  // all readings of the morning share it

    double standard() const;
};

/// Diagonal covariances of inputs: of all that they may be off, and of the part that comes anew.
Eigen::MatrixXd covariance_of(const std::vector<InputQuantity>& inputs);
Eigen::MatrixXd anew_covariance_of(const std::vector<InputQuantity>& inputs);

}  // namespace shimwise
