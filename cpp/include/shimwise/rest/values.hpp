// What a car at rest is judged by: the fourth list of names, of the car and of the loads at its corners.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "shimwise/motion/outputs.hpp"

namespace shimwise {

struct RestModel;

enum class CarOutput {
    height,
    pitch,
    roll,
    twist,
    rake,
    rake_angle,
    cross_weight,
    front_share,
    left_share,
    front_difference,
    rear_difference,
    total_toe_front,
    total_toe_rear,
    thrust_angle,
    front_bar_torque,
    rear_bar_torque,
    front_third_load,
    rear_third_load,
};
inline constexpr std::size_t car_output_count = 18;
inline constexpr std::array<OutputInfo, car_output_count> car_output_list = {{
    {"height", "mm", true, "chassis origin over the ground plane, + = up"},
    {"pitch", "deg", true, "of the chassis over the ground plane, + = nose down"},
    {"roll", "deg", true, "of the chassis over the ground plane, + = left side up"},
    {"twist", "deg", false, "of the chassis: roll of its front half less roll of its rear half"},
    {"rake", "mm", true, "ride height rear less front, each the mean of left and right"},
    {"rake_angle", "deg", true, "the same as an angle over the distance of the two mid points"},
    {"cross_weight", "percent", false, "(front right + rear left) / total"},
    {"front_share", "percent", false, "(front left + front right) / total"},
    {"left_share", "percent", false, "(front left + rear left) / total"},
    {"front_difference", "kg", false, "front left less front right"},
    {"rear_difference", "kg", false, "rear left less rear right"},
    {"total_toe_front", "deg", true, "toe left + right, + = toe-in"},
    {"total_toe_rear", "deg", true, "toe left + right, + = toe-in"},
    {"thrust_angle", "deg", true, "(rear left toe less rear right toe) / 2, + = the rear wheels point to the right"},
    {"front_bar_torque", "Nm", false, "rate times (left - right) turn of its arms"},
    {"rear_bar_torque", "Nm", false, "rate times (left - right) turn of its arms"},
    {"front_third_load", "N", false, "of the spring between the rockers, + = it carries"},
    {"rear_third_load", "N", false, "of the spring between the rockers, + = it carries"},
}};

/// At each corner beside `output_list`.
enum class CornerLoad { weight, spring_load, rubber_load };
inline constexpr std::size_t corner_load_count = 3;
inline constexpr std::array<OutputInfo, corner_load_count> corner_load_list = {{
    {"weight", "kg", false, "what the scale shows: load along plumb / 9.80665 m/s2"},
    {"spring_load", "N", false, "through spring and helper, + = it pushes"},
    {"rubber_load", "N", false, "of the bump rubber, + = it pushes"},
}};

/// In the ground's frame: z along the normal of the best plane through the four pads, x the chassis' x laid onto it.
template <class T>
struct RestValues {
    std::array<T, car_output_count> car{};  // 0 where the car has no such thing
    std::array<Outputs<T>, corner_count> corners{};
    std::array<std::array<T, corner_load_count>, corner_count> loads{};
    std::vector<T> ride_heights_mm;  // in the car's order, perpendicular to the ground plane

    const T& at(CarOutput o) const { return car[index(o)]; }
    const T& at(CornerId c, Output o) const { return corners[index(c)][index(o)]; }
    const T& at(CornerId c, CornerLoad o) const { return loads[index(c)][index(o)]; }
};

/// One value of a car at rest, by name: "cross_weight_percent", "front_left.toe_deg", "ride_height.rear_left_mm".
struct RestOutput {
    enum class Of { car, corner, load, ride_height };
    std::string name;
    std::string unit;
    std::string sign;
    Of of = Of::car;
    std::size_t index = 0;   // in its list
    std::size_t corner = 0;  // where it is of a corner
};

/// All that this car has, in the order of the lists: the car, its ride heights, then corner by corner.
std::vector<RestOutput> rest_outputs(const RestModel& model);

template <class T>
const T& value(const RestValues<T>& values, const RestOutput& output) {
    switch (output.of) {
        case RestOutput::Of::car:
            return values.car[output.index];
        case RestOutput::Of::corner:
            return values.corners[output.corner][output.index];
        case RestOutput::Of::load:
            return values.loads[output.corner][output.index];
        default:
            return values.ride_heights_mm[output.index];
    }
}

/// These values, in order.
std::vector<double> row(const RestValues<double>& values, const std::vector<RestOutput>& outputs);

}  // namespace shimwise
