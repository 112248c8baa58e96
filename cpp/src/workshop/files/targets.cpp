#include <algorithm>
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

constexpr double least_tolerance = 1e-6;  // of any unit

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
        if (tolerance && !(*tolerance > 0.0))
            table_.problem(given_key("tolerance"), "must be more than 0");
        else if (tolerance && !(*tolerance >= least_tolerance))
            table_.problem(given_key("tolerance"), "is less than 1e-6, finer than anything can be read");
        if (!value_given && given("tolerance")) table_.problem(given_key("tolerance"), "a tolerance needs a value");
        if (!value_given && !given("tolerance") && !given("least") && !given("most"))
            whole("needs " + key("value") + ", " + key("least") + " or " + key("most"));
        if (tolerance) target.tolerance = *tolerance;
        if (value_given && !given("tolerance")) common_practice(target, common_tolerance);
        limits(target);
        if (at_flags_) target.flag_span_mm = flag_span_mm_;
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
        at_flags_ = at_flags_ || word != "tolerance";
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
    bool at_flags_ = false;
};

using ByValue = std::map<ValueId, Target>;

/// What is left to the droop stop, least: damper and spring share both eyes, so that it is a most of the spring's
/// length.
void read_droop_target(Table table, const Corner& corner, ByValue& into) {
    if (!table.given()) return;
    double least_mm = 0.0;
    const bool given = table.read("least_mm", least_mm);
    if (!given && !table.has("least_mm")) table.report().add(table.place(), table.field(), "needs least_mm");
    table.close();
    if (!corner.damper) {
        table.report().add(table.place(), table.field(), "the car file gives this corner no damper");
        return;
    }
    if (!given) return;
    const Damper& damper = *corner.damper;
    const double range_mm = damper.longest_mm - damper.shortest_mm, most_mm = damper.longest_mm - least_mm;
    if (!(least_mm >= 0.0)) table.problem("least_mm", "must be at least 0");
    if (!(least_mm <= range_mm))
        table.problem("least_mm", "is more than the damper's whole range of " + files::shown(range_mm) + " mm");
    Target& spring = into[{corner.id, Output::spring_length}];
    spring.most = std::min(spring.most.value_or(most_mm), most_mm);
    const auto at_least = [&](const std::optional<double>& mm, const char* what) {
        if (mm && !(*mm <= most_mm))
            table.problem("least_mm", "leaves the spring at most " + files::shown(most_mm) + " mm, less than " + what);
    };
    at_least(spring.value, "spring_length.value_mm");
    at_least(spring.least, "spring_length.least_mm");
}

void read_corner_targets(Table table, const Corner& corner, ByValue& into) {
    for (std::size_t o = 0; o < output_count; ++o) {
        const ValueInfo& asked = output_list[o];
        if (!asked.target) continue;
        Table one = table.table(asked.name);
        if (!one.given()) continue;
        const auto& flags_mm = asked.tolerance_at_flags_mm;
        const double span_mm = corner.wheel.flag_span_mm;
        std::optional<double> common = asked.common_tolerance;
        if (flags_mm && span_mm > 0.0) common = std::asin(*flags_mm / span_mm) * deg_per_rad;
        TargetReader reader(one, asked.unit, flags_mm ? std::optional<double>(span_mm) : std::nullopt);
        into[{corner.id, static_cast<Output>(o)}] = reader.read(common);
    }
    read_droop_target(table.table("to_droop_stop"), corner, into);
    table.close();
}

void read_car_targets(Table table, const Car& car, ByValue& into) {
    for (std::size_t o = 0; o < car_output_count; ++o) {
        const ValueInfo& asked = car_output_list[o];
        if (!asked.target) continue;
        const Table one = table.table(asked.name);
        if (!one.given()) continue;
        const std::string missing = missing_for(car, asked);
        if (!missing.empty()) table.problem(asked.name, missing);
        into[static_cast<CarOutput>(o)] = TargetReader(one, asked.unit, std::nullopt).read(asked.common_tolerance);
    }
    table.close();
}

void read_ride_height_targets(Table table, const Car& car, ByValue& into) {
    std::vector<std::string> points;
    for (const RideHeightPoint& point : car.ride_heights) points.push_back(point.name);
    for (const std::string& name : table.names_among(points, "ride-height point of the car")) {
        const auto point = std::find(points.begin(), points.end(), name) - points.begin();
        into[ValueId::ride_height(car, static_cast<std::size_t>(point))] =
            TargetReader(table.table(name), ride_height_info.unit, std::nullopt)
                .read(ride_height_info.common_tolerance);
    }
}

}  // namespace

Target target_about(double value, double common_tolerance) {
    Target target;
    target.value = value;
    target.tolerance = common_tolerance;
    target.tolerance_is_common_practice = true;
    return target;
}

std::map<std::string, Target> targets_by_name(const Targets& targets, ValueId::Of of, std::size_t corner) {
    std::map<std::string, Target> named;
    for (const auto& [id, target] : targets.values)
        if (id.of == of && id.corner == corner)
            named[id.point.empty() ? std::string(info(id).name) : id.point] = target;
    return named;
}

std::array<std::map<std::string, Target>, corner_count> corner_targets_by_name(const Targets& targets) {
    std::array<std::map<std::string, Target>, corner_count> all;
    for (std::size_t c = 0; c < corner_count; ++c) all[c] = targets_by_name(targets, ValueId::Of::corner, c);
    return all;
}

Targets targets_from(const Source& source, const Car& car) {
    const files::Document document = files::read_toml(source, "targets");
    files::Report report(source);
    Table root(&document.root, "", report);
    Targets targets;
    std::string format;
    targets.file = source.name;
    targets.origin = document.origin;
    root.read("format", format);
    for (std::size_t i = 0; i < corner_count; ++i)
        read_corner_targets(root.table(corner_names[i]), car.corners[i], targets.values);
    read_car_targets(root.table("car"), car, targets.values);
    read_ride_height_targets(root.table(ride_height_info.name), car, targets.values);
    root.close();
    report.throw_if_any();
    return targets;
}

}  // namespace shimwise
