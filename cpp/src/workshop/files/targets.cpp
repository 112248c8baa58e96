#include <cmath>

#include "files/shown.hpp"
#include "files/table.hpp"
#include "files/toml_reader.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/files/targets.hpp"

namespace shimwise {
namespace {

using files::Table;
using files::Wanted;

/// What can be asked for: its unit, and the tolerance that is common practice (no source); without one it must be
/// given.
struct Asked {
    std::string_view name;
    std::string_view unit;
    std::optional<double> common_tolerance;
};

constexpr std::array<Asked, 3> corner_outputs = {{{"toe", "deg", {}}, {"camber", "deg", 0.05}, {"caster", "deg", {}}}};
constexpr std::array<Asked, 9> car_outputs = {{{"total_toe_front", "deg", {}},
                                               {"total_toe_rear", "deg", {}},
                                               {"thrust_angle", "deg", {}},
                                               {"rake", "mm", {}},
                                               {"front_difference", "kg", 1.0},
                                               {"rear_difference", "kg", 10.0},
                                               {"cross_weight", "percent", {}},
                                               {"front_bar_torque", "Nm", {}},
                                               {"rear_bar_torque", "Nm", {}}}};
constexpr double common_toe_mm = 0.5;  // at the flags
constexpr double common_ride_height_mm = 0.5;

class TargetReader {
public:
    /// `flag_span_mm`: more than 0 where mm at the flags may be given for degrees; nothing where they have no sense.
    TargetReader(Table table, std::string_view unit, std::optional<double> flag_span_mm)
        : table_(std::move(table)), unit_(unit), flag_span_mm_(flag_span_mm) {}

    Target read(std::optional<double> common_tolerance) {
        if (!table_.given()) return {};
        Target target;
        target.value = quantity("value");
        target.least = quantity("least");
        target.most = quantity("most");
        const auto tolerance = quantity("tolerance");
        const bool value_given = given("value");
        if (tolerance && !(*tolerance > 0.0)) table_.problem(given_key("tolerance"), "must be more than 0");
        if (!value_given && given("tolerance")) table_.problem(given_key("tolerance"), "a tolerance needs a value");
        if (!value_given && !given("tolerance") && !given("least") && !given("most"))
            whole("needs " + key("value") + ", " + key("least") + " or " + key("most"));
        if (tolerance) target.tolerance = *tolerance;
        if (value_given && !given("tolerance")) common_practice(target, common_tolerance);
        limits(target);
        table_.close();
        return target;
    }

private:
    std::string key(const std::string& word) const { return word + "_" + std::string(unit_); }
    std::string flags_key(const std::string& word) const { return word + "_mm"; }
    bool given(const std::string& word) const {
        return table_.has(key(word)) || (flag_span_mm_ && table_.has(flags_key(word)));
    }
    std::string given_key(const std::string& word) const {
        return flag_span_mm_ && !table_.has(key(word)) ? flags_key(word) : key(word);
    }
    void whole(const std::string& rule) { table_.report().add(table_.place(), table_.field(), rule); }

    std::optional<double> quantity(const std::string& word) {
        std::optional<double> value;
        table_.read(key(word), value);
        if (!flag_span_mm_) return value;
        table_.not_both(key(word), flags_key(word));
        double mm = 0.0;
        if (!table_.read(flags_key(word), mm)) return value;
        if (!(*flag_span_mm_ > 0.0))
            table_.problem(flags_key(word), "the car file gives no flag_span_mm for this wheel: give degrees");
        else if (!(std::abs(mm) <= *flag_span_mm_))
            table_.problem(flags_key(word), "is more than the flags' span of " + files::shown(*flag_span_mm_) + " mm");
        else
            value = std::asin(mm / *flag_span_mm_) * deg_per_rad;
        return value;
    }

    void common_practice(Target& target, std::optional<double> common_tolerance) {
        if (!common_tolerance) {
            whole("needs " + key("tolerance") + ": there is no common practice for it");
            return;
        }
        target.tolerance = *common_tolerance;
        target.tolerance_is_common_practice = true;
    }

    void limits(const Target& target) {
        if (target.least && target.most && !(*target.least <= *target.most))
            table_.problem(given_key("most"), "is less than " + given_key("least"));
        else if (target.value && !(*target.value >= target.least.value_or(*target.value) &&
                                   *target.value <= target.most.value_or(*target.value)))
            table_.problem(given_key("value"), "lies outside its own least and most");
    }

    Table table_;
    std::string_view unit_;
    std::optional<double> flag_span_mm_;
};

void read_corner_targets(Table table, const Corner& corner, std::map<std::string, Target>& into) {
    for (const Asked& asked : corner_outputs) {
        Table one = table.table(asked.name);
        if (!one.given()) continue;
        const bool toe = asked.name == "toe";
        const double span_mm = corner.wheel.flag_span_mm;
        std::optional<double> common = asked.common_tolerance;
        if (toe && span_mm > 0.0) common = std::asin(common_toe_mm / span_mm) * deg_per_rad;
        TargetReader reader(one, asked.unit, toe ? std::optional<double>(span_mm) : std::nullopt);
        into[std::string(asked.name)] = reader.read(common);
    }
    table.close();
}

/// Why a car cannot be asked for this, or nothing.
std::string missing_part(const Car& car, std::string_view name) {
    if (name == "rake" && (car.rake_front.empty() || car.rake_rear.empty())) return "the car file has no [rake]";
    if (name == "front_bar_torque" && !car.bars[0]) return "the car file has no [front_bar]";
    if (name == "rear_bar_torque" && !car.bars[1]) return "the car file has no [rear_bar]";
    return {};
}

void read_car_targets(Table table, const Car& car, std::map<std::string, Target>& into) {
    for (const Asked& asked : car_outputs) {
        const Table one = table.table(asked.name);
        if (!one.given()) continue;
        const std::string missing = missing_part(car, asked.name);
        if (!missing.empty()) table.problem(asked.name, missing);
        into[std::string(asked.name)] = TargetReader(one, asked.unit, std::nullopt).read(asked.common_tolerance);
    }
    table.close();
}

void read_ride_height_targets(Table table, const Car& car, std::map<std::string, Target>& into) {
    std::vector<std::string> points;
    for (const RideHeightPoint& point : car.ride_heights) points.push_back(point.name);
    for (const std::string& name : table.names_among(points, "ride-height point of the car"))
        into[name] = TargetReader(table.table(name), "mm", std::nullopt).read(common_ride_height_mm);
}

}  // namespace

Targets load_targets(const std::string& path, const Car& car) {
    const files::Value contents = files::read_toml(path, "targets");
    files::Report report(path);
    Table root(&contents, "", report);
    Targets targets;
    std::string format;
    targets.file = path;
    root.read("format", format);
    for (std::size_t i = 0; i < corner_count; ++i)
        read_corner_targets(root.table(corner_names[i]), car.corners[i], targets.corners[i]);
    read_car_targets(root.table("car"), car, targets.car);
    read_ride_height_targets(root.table("ride_height"), car, targets.ride_heights);
    root.close();
    report.throw_if_any();
    return targets;
}

}  // namespace shimwise
