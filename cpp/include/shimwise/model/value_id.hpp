// Which value of a car something is about: typed in C++, a key in files and in Python.
#pragma once

#include "shimwise/files/fields.hpp"
#include "shimwise/model/values.hpp"

namespace shimwise {

struct Car;

/// Which value: its place in its list, and the corner or the point where it is of one.
struct ValueId {
    enum class Of { corner, load, car, ride_height };
    Of of = Of::car;
    std::size_t index = 0;  // in its list; of a ride height: of its point in the car
    std::size_t corner = 0;
    std::string point;

    ValueId() = default;
    ValueId(CornerId id, Output output);
    ValueId(CornerId id, CornerLoad load);
    ValueId(CarOutput output);
    static ValueId ride_height(const Car& car, std::size_t point);

    bool is(CarOutput output) const { return of == Of::car && index == shimwise::index(output); }
    bool is(Output output) const { return of == Of::corner && index == shimwise::index(output); }
    bool is(CornerLoad load) const { return of == Of::load && index == shimwise::index(load); }
    bool operator==(const ValueId&) const = default;
};
template <>
inline constexpr std::size_t field_count<ValueId> = 4;
/// Corner by corner, then points, then the car; each by name.
bool operator<(const ValueId& a, const ValueId& b);

const ValueInfo& info(const ValueId& id);
/// "front_left.toe", "ride_height.front_left", "cross_weight"
std::string key(const ValueId& id);
std::vector<std::string> keys(const std::vector<ValueId>& ids);
/// The value of a key, or nothing.
std::optional<ValueId> named(const Car& car, std::string_view key);
/// Where the value's adjusters are: its own corner, its axle's two or all four.
std::vector<std::size_t> corners_of(const ValueId& id);
/// "the car file has no [rake]"; empty where the car has what the value needs.
std::string missing_for(const Car& car, const ValueInfo& info);

/// "front_left.toe_deg", "ride_height.front_left_mm", "cross_weight_percent"
std::string column_name(const ValueId& id);

}  // namespace shimwise
