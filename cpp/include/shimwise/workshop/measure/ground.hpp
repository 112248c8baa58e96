// The ground under the car and the direction of gravity over it.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/math/least_squares.hpp"
#include "shimwise/model/car.hpp"
#include "shimwise/motion/outputs.hpp"

namespace shimwise {

enum class GroundFrom { ride_heights, drawn_contacts };
inline constexpr std::array<std::string_view, 2> ground_from_names = {"ride_heights", "drawn_contacts"};
/// As a table's title says it.
inline constexpr std::array<std::string_view, 2> ground_from_words = {"the plane through the measured ride heights",
                                                                      "the plane through the four contacts as drawn"};

/// A plane in chassis coordinates and up along gravity over it.
struct Ground {
    GroundFrom from = GroundFrom::drawn_contacts;
    Frame frame;                           // z: its normal; x: the chassis' x laid onto it
    double under_origin_mm = 0.0;          // how far it lies below the chassis origin, along its normal
    Vec3<double> plumb = {0.0, 0.0, 1.0};  // unit, in the frame's coordinates

    double height_mm(const Vec3<double>& at) const { return dot(frame.z, at) + under_origin_mm; }
    /// A contact that stands on it.
    Hold hold() const { return {Held::contact, frame.z}; }
    double held_value() const { return -under_origin_mm; }
};

/// "Toe and camber to the ground: the plane through ..."
std::string frame_words(const Ground& ground);

using Contacts = std::array<Vec3<double>, corner_count>;  // chassis coordinates, mm

/// Least squares of heights perpendicular to the plane: the plane through p_i - h_i n, until its normal n repeats.
/// Precondition: three points or more, not on one line seen along z, otherwise std::invalid_argument.
Ground ground_through(const std::vector<Vec3<double>>& points_mm, const std::vector<double>& heights_mm);

/// Best plane of the pads' heights along plumb over places in the ground's frame: equal weights.
Plane pads_plane(const Ground& ground, const Contacts& contacts, const std::array<double, corner_count>& pad_height_mm);

/// Up along gravity in the ground's frame: on a plane the height along plumb grows by its x and y per mm.
Vec3<double> plumb_of(const Plane& pads);

/// Where the corners stand on the ground as they are set. Throws OutOfReach with the corner's name.
Contacts contacts_on(const Ground& ground, const Car& car);

/// Outputs of a corner as it is set, standing on the ground, in its frame. Throws OutOfReach with the corner's name.
Outputs<double> outputs_on(const Ground& ground, const Corner& corner);

}  // namespace shimwise
