// The third and the fourth list of names: what a corner and the car are judged by. Targets, measured values, columns of
// a table, units of a Dataset, recipes and the words of a card all loop over them; their rows are in values.cpp.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/model/names.hpp"

namespace shimwise {

/// Of a corner's geometry.
enum class Output {
    toe,
    camber,
    caster,
    kingpin_inclination,
    trail,
    scrub,
    half_track,
    motion_ratio,
    inclination,
    chassis_height,
    spring_length,
    bump_steer,
    camber_gain,
};
inline constexpr std::size_t output_count = 13;

/// What a corner has only where the whole car stands: what it carries, and how its wheel leans.
enum class CornerLoad { weight, spring_load, rubber_load, inclination_to_plumb };
inline constexpr std::size_t corner_load_count = 4;

/// Of an axle or of the whole car.
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
    total_weight,  // from here on: sums of others, which no table of the car at rest repeats
    front_height,
    rear_height,
    mean_height,
    camber_difference_front,
    camber_difference_rear,
    caster_difference_front,
};
inline constexpr std::size_t car_output_count = 25;
inline constexpr std::size_t at_rest_count = index(CarOutput::total_weight);

/// What decides a value. height: the pose of the chassis; weight: the one unknown that masses and heights leave of the
/// four weights; share: where the masses are; load: what springs carry, and what yields under it.
enum class ValueKind { alignment, height, weight, share, load };

/// What a car must have for a value.
enum class ValueNeeds { nothing, twist, rake, bar, third };

/// One value: all that is said of it anywhere.
struct ValueInfo {
    std::string_view name = {};
    std::string_view unit = {};
    bool depends_on_frame = false;
    std::string_view sign = {};  // in one sentence
    std::string_view plus = {}, minus = {};
    std::string_view label = {};     // where people do not call it by its name
    std::string_view in_words = {};  // what it is made of, shortly
    bool in_words_always = false;    // the trade means either by the name
    ValueKind kind = ValueKind::alignment;
    std::optional<std::size_t> axle = {};  // front, rear; nothing: a corner or the whole car
    ValueNeeds needs = ValueNeeds::nothing;
    Output sum_of = Output::toe;                       // what it adds up, where it is a sum over the wheels
    std::array<double, corner_count> shares{};         // of every wheel's in that sum
    std::optional<Purpose> purpose = {};               // that serves it
    bool target = false;                               // can be wanted
    bool by_model = false;                             // nothing reads it: its value is the model's own
    std::optional<double> common_tolerance = {};       // in its unit; common practice, no source
    std::optional<double> tolerance_at_flags_mm = {};  // the same, where it is read there
};
extern const std::array<ValueInfo, output_count> output_list;
extern const std::array<ValueInfo, corner_load_count> corner_load_list;
extern const std::array<ValueInfo, car_output_count> car_output_list;
extern const ValueInfo ride_height_info;

/// Whether it is a sum over the wheels of one of their outputs.
inline bool sums_wheels(const ValueInfo& info) { return info.shares != std::array<double, corner_count>{}; }

/// That sum, where `of(corner)` is a wheel's value of what it adds up.
template <class Of>
auto sum_over_wheels(const ValueInfo& info, const Of& of) {
    auto sum = of(0) * info.shares[0];
    for (std::size_t c = 1; c < corner_count; ++c) sum = sum + of(c) * info.shares[c];
    return sum;
}

/// "toe_deg", "bump_steer_deg_per_mm", "motion_ratio": a name with its unit.
std::string column_name(std::string_view name, std::string_view unit);
std::string column_name(const ValueInfo& info);
/// Of the outputs of a corner.
std::vector<std::string> column_names();

}  // namespace shimwise
