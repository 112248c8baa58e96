#include "shimwise/workshop/measure/compare.hpp"

#include <cmath>

namespace shimwise {
namespace {

const std::string height_prefix = "ride_height.";

/// Every key that a target stands under, with its unit.
std::vector<std::pair<std::string, std::string>> keys_of(const Targets& targets) {
    std::vector<std::pair<std::string, std::string>> keys;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (const auto& [name, target] : targets.corners[c])
            keys.emplace_back(std::string(corner_names[c]) + "." + name, "deg");
    for (const auto& [name, target] : targets.ride_heights) keys.emplace_back(height_prefix + name, "mm");
    for (const auto& [name, target] : targets.car) {
        std::string unit = "deg";
        if (name == "rake") unit = "mm";
        if (name.ends_with("_difference")) unit = "kg";
        if (name == "cross_weight") unit = "percent";
        if (name.ends_with("_torque")) unit = "Nm";
        keys.emplace_back(name, unit);
    }
    return keys;
}

std::optional<Target> in(const std::map<std::string, Target>& map, const std::string& key) {
    const auto found = map.find(key);
    return found == map.end() ? std::nullopt : std::optional<Target>(found->second);
}

Comparison line_of(const std::string& key, const std::string& unit) {
    Comparison row;
    row.key = key;
    row.unit = unit;
    return row;
}

}  // namespace

bool meets(const Target& target, double value) {
    if (!std::isfinite(value)) return false;
    if (target.value && !(std::fabs(value - *target.value) <= target.tolerance)) return false;
    if (target.least && !(value >= *target.least)) return false;
    return !target.most || value <= *target.most;
}

std::optional<Target> target_of(const Targets& targets, const std::string& key) {
    if (key.starts_with(height_prefix)) return in(targets.ride_heights, key.substr(height_prefix.size()));
    const auto dot = key.find('.');
    if (dot == std::string::npos) return in(targets.car, key);
    const auto corner = named<CornerId>(corner_names, key.substr(0, dot));
    return corner ? in(targets.corners[index(*corner)], key.substr(dot + 1)) : std::nullopt;
}

std::vector<Comparison> compare(const Measured& measured, const Targets& targets) {
    std::vector<Comparison> rows;
    for (const Quantity& quantity : measured.quantities) {
        Comparison row = line_of(quantity.key, quantity.unit);
        row.derived = quantity.derived;
        row.measured = measured.value(row.key);
        row.uncertainty = measured.uncertainty(row.key);
        row.target = target_of(targets, row.key);
        if (row.target) {
            row.within = meets(*row.target, *row.measured);
            if (row.target->value) row.difference = *row.measured - *row.target->value;
        }
        rows.push_back(std::move(row));
    }
    for (const auto& [key, unit] : keys_of(targets)) {
        if (measured.find(key)) continue;
        rows.push_back(line_of(key, unit));
        rows.back().target = target_of(targets, key);
    }
    return rows;
}

}  // namespace shimwise
