#include "shimwise/model/value_id.hpp"

#include <algorithm>
#include <tuple>

#include "shimwise/model/car.hpp"

namespace shimwise {

ValueId::ValueId(CornerId id, Output output)
    : of(Of::corner), index(shimwise::index(output)), corner(shimwise::index(id)) {}
ValueId::ValueId(CornerId id, CornerLoad load)
    : of(Of::load), index(shimwise::index(load)), corner(shimwise::index(id)) {}
ValueId::ValueId(CarOutput output) : of(Of::car), index(shimwise::index(output)) {}

ValueId ValueId::ride_height(const Car& car, std::size_t point) {
    ValueId id;
    id.of = Of::ride_height;
    id.index = point;
    id.point = car.ride_heights[point].name;
    return id;
}

const ValueInfo& info(const ValueId& id) {
    switch (id.of) {
        case ValueId::Of::corner:
            return output_list[id.index];
        case ValueId::Of::load:
            return corner_load_list[id.index];
        case ValueId::Of::car:
            return car_output_list[id.index];
        default:
            return ride_height_info;
    }
}

std::string key(const ValueId& id) {
    std::string name(info(id).name);
    if (id.of == ValueId::Of::car) return name;
    if (id.of == ValueId::Of::ride_height) return name + "." + id.point;
    return std::string(corner_names[id.corner]) + "." + name;
}

std::vector<std::string> keys(const std::vector<ValueId>& ids) {
    std::vector<std::string> all;
    for (const ValueId& id : ids) all.push_back(key(id));
    return all;
}

bool operator<(const ValueId& a, const ValueId& b) {
    const auto order = [](const ValueId& id) {
        const bool of_car = id.of == ValueId::Of::car, of_point = id.of == ValueId::Of::ride_height;
        return std::tuple(of_car, of_point, id.corner, std::string_view(id.point), info(id).name);
    };
    return order(a) < order(b);
}

std::optional<ValueId> named(const Car& car, std::string_view key) {
    const auto dot = key.find('.');
    const auto in = [](const auto& list, std::string_view name) {
        const auto found = std::find_if(list.begin(), list.end(), [name](const auto& one) { return one.name == name; });
        return found == list.end() ? std::nullopt
                                   : std::optional(static_cast<std::size_t>(std::distance(list.begin(), found)));
    };
    if (dot == std::string_view::npos) {
        const auto at = in(car_output_list, key);
        return at ? std::optional(ValueId(static_cast<CarOutput>(*at))) : std::nullopt;
    }
    const std::string_view place = key.substr(0, dot), name = key.substr(dot + 1);
    if (place == ride_height_info.name) {
        const auto at = in(car.ride_heights, name);
        return at ? std::optional(ValueId::ride_height(car, *at)) : std::nullopt;
    }
    const auto corner = named<CornerId>(corner_names, place);
    if (!corner) return std::nullopt;
    if (const auto at = in(output_list, name)) return ValueId(*corner, static_cast<Output>(*at));
    if (const auto at = in(corner_load_list, name)) return ValueId(*corner, static_cast<CornerLoad>(*at));
    return std::nullopt;
}

std::vector<std::size_t> corners_of(const ValueId& id) {
    if (id.of == ValueId::Of::corner || id.of == ValueId::Of::load) return {id.corner};
    if (const auto& axle = info(id).axle) return {2 * *axle, 2 * *axle + 1};
    return {0, 1, 2, 3};
}

std::string missing_for(const Car& car, const ValueInfo& info) {
    const auto table = [&info](const char* part) {
        return "the car file has no [" + std::string(*info.axle == 0 ? "front_" : "rear_") + part + "]";
    };
    switch (info.needs) {
        case ValueNeeds::twist:
            return car.chassis_twist_Nm_per_deg ? "" : "the car file has no chassis_twist_Nm_per_deg";
        case ValueNeeds::rake:
            return car.rake_front.empty() || car.rake_rear.empty() ? "the car file has no [rake]" : "";
        case ValueNeeds::bar:
            return car.bars[*info.axle] ? "" : table("bar");
        case ValueNeeds::third:
            return car.thirds[*info.axle] ? "" : table("third");
        default:
            return {};
    }
}

std::string column_name(const ValueId& id) { return column_name(key(id), info(id).unit); }

}  // namespace shimwise
