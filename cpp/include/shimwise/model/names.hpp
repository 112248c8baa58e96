// Three lists of names stand once in the library; two of them here: the points and the lengths of a corner.
// The reader's keys, an adjuster's changes and a sweep's coordinates loop over them.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

namespace shimwise {

enum class CornerId { front_left, front_right, rear_left, rear_right };
inline constexpr std::size_t corner_count = 4;
inline constexpr std::array<std::string_view, corner_count> corner_names = {"front_left", "front_right", "rear_left",
                                                                            "rear_right"};
inline constexpr std::array<std::string_view, corner_count> corner_short_names = {"FL", "FR", "RL", "RR"};
constexpr bool is_left(CornerId id) { return id == CornerId::front_left || id == CornerId::rear_left; }
constexpr bool is_front(CornerId id) { return id == CornerId::front_left || id == CornerId::front_right; }

/// What a point is fixed to. `rack`: moves with the steering rack.
enum class Body { chassis, rack, lower_wishbone, upper_wishbone, upright, rocker };
inline constexpr std::array<std::string_view, 6> body_names = {"chassis",        "rack",    "lower_wishbone",
                                                               "upper_wishbone", "upright", "rocker"};

enum class Point {
    upper_wishbone_front,
    upper_wishbone_rear,
    upper_wishbone_outer,
    lower_wishbone_front,
    lower_wishbone_rear,
    lower_wishbone_outer,
    track_rod_inner,
    track_rod_outer,
    wheel_centre,
    pushrod_outer,
    pushrod_inner,
    rocker_axis_point,
    rocker_spring,
    rocker_drop_link,
    spring_outer,
    drop_link_outer,
    spring_chassis,
};
inline constexpr std::size_t point_count = 17;
inline constexpr std::array<std::string_view, point_count> point_names = {
    "upper_wishbone.front", "upper_wishbone.rear",  "upper_wishbone.outer", "lower_wishbone.front",
    "lower_wishbone.rear",  "lower_wishbone.outer", "track_rod.inner",      "track_rod.outer",
    "wheel.centre",         "pushrod.outer",        "pushrod.inner",        "rocker.axis_point",
    "rocker.spring",        "rocker.drop_link",     "spring.outer",         "drop_link.outer",
    "spring.chassis"};

enum class Length {
    upper_wishbone_front_leg,
    upper_wishbone_rear_leg,
    lower_wishbone_front_leg,
    lower_wishbone_rear_leg,
    track_rod,
    pushrod,
    drop_link,
    spring_platform,
};
inline constexpr std::size_t length_count = 8;
inline constexpr std::array<std::string_view, length_count> length_names = {"upper_wishbone.front_leg",
                                                                            "upper_wishbone.rear_leg",
                                                                            "lower_wishbone.front_leg",
                                                                            "lower_wishbone.rear_leg",
                                                                            "track_rod",
                                                                            "pushrod",
                                                                            "drop_link",
                                                                            "spring_platform"};

/// A spring may lie across the car's centre plane, and its rocker in the middle: these points are on either side.
constexpr bool may_cross(Point point) {
    return point == Point::spring_chassis || point == Point::rocker_spring || point == Point::rocker_axis_point ||
           point == Point::rocker_drop_link;
}

/// What an adjuster is normally turned for: a plan that does not ask for it leaves the adjuster alone.
enum class Purpose { toe, camber, caster, ride_height, corner_weight, bar_free };
inline constexpr std::size_t purpose_count = 6;
inline constexpr std::array<std::string_view, purpose_count> purpose_names = {
    "toe", "camber", "caster", "ride_height", "corner_weight", "bar_free"};

template <class Enum>
constexpr std::size_t index(Enum value) {
    return static_cast<std::size_t>(value);
}

/// The value of an enumeration by its name in `names`, or nothing.
template <class Enum, std::size_t N>
constexpr std::optional<Enum> named(const std::array<std::string_view, N>& names, std::string_view name) {
    for (std::size_t i = 0; i < N; ++i)
        if (names[i] == name) return static_cast<Enum>(i);
    return std::nullopt;
}

}  // namespace shimwise
