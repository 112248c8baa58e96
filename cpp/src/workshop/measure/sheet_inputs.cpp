#include <algorithm>
#include <cmath>
#include <numeric>

#include "shimwise/workshop/measure/level.hpp"
#include "shimwise/workshop/measure/settled.hpp"
#include "workshop/measure/reading_notes.hpp"
#include "workshop/measure/sheet_model.hpp"

namespace shimwise {
namespace {

/// A reading: an even spread over the last digit, and the instrument's repeatability. Repeating averages the hand out,
/// not the last digit that all readings share.
Spread reading(double resolution, double repeatability, double times = 1.0) {
    return {resolution, repeatability / std::sqrt(times)};
}

Spread normal(double u) { return {0.0, u}; }

double farthest_check_deg(const Readings& readings) {
    const double mean_deg = 0.5 * (readings.gauge_check_deg->facing + *readings.gauge_check_deg->turned);
    double farthest_deg = 0.0;
    for (const GaugeCheck& check : readings.gauge_checks)
        farthest_deg = std::max(farthest_deg, std::abs(check.zero_deg - mean_deg));
    return farthest_deg;
}

std::string of_wheel(std::size_t c, const std::string& what) { return std::string(corner_names[c]) + "." + what; }

}  // namespace

SheetModel::SheetModel(const Readings& readings, const Car& car)
    : readings_(readings), car_(car), settling_(settling(readings, car)) {
    add_strings();
    add_gauge_zero();
    warp_kg_ =
        add(InputKind::settling, "settling.warp", "kg", 0.0, settled_in(settling_.warp_kg, of_wheel(0, "scale")));
    add_lateral_settling();
    add_pads();
    add_heights();
    for (std::size_t c = 0; c < corner_count; ++c) add_wheel(c);
    for (std::size_t c = 0; c < corner_count; ++c) add_lengths(c);
    at_.resize(static_cast<Eigen::Index>(inputs_.size()));
    for (std::size_t i = 0; i < inputs_.size(); ++i) at_(static_cast<Eigen::Index>(i)) = inputs_[i].value;
    find_ground();
}

Spread SheetModel::settled_in(double u, const std::string& reading) const {
    return normal(u / std::sqrt(static_cast<double>(readings_.sets(reading))));
}

int SheetModel::add(InputKind kind, std::string key, std::string unit, double value, Spread anew, Spread stays) {
    inputs_.push_back({kind, std::move(key), std::move(unit), value, anew, stays});
    return static_cast<int>(inputs_.size()) - 1;
}

void SheetModel::add_strings() {
    const bool read = readings_.front_bar_mm && readings_.rear_bar_mm && car_.strings.bars_apart_mm > 0.0;
    const Spread end = normal(car_.strings.end_uncertainty_mm);
    constexpr std::array<const char*, 2> sides = {"left", "right"};
    for (std::size_t side = 0; side < 2; ++side) {
        const std::string key = std::string("strings.") + sides[side];
        const auto place_mm = [&](const auto& bar) { return read ? (*bar)[side] : 0.0; };
        string_ends_[side] = {
            add(InputKind::string_end, key + ".front", "mm", place_mm(readings_.front_bar_mm), {}, end),
            add(InputKind::string_end, key + ".rear", "mm", place_mm(readings_.rear_bar_mm), {}, end)};
    }
}

void SheetModel::add_lateral_settling() {
    if (car_.strings.on_car) return;
    const Spread axle = settled_in(settling_.lateral_mm, of_wheel(0, "flags.front"));
    lateral_front_ = add(InputKind::settling, "settling.lateral.front", "mm", 0.0, axle);
    lateral_rear_ = add(InputKind::settling, "settling.lateral.rear", "mm", 0.0, axle);
}

void SheetModel::add_gauge_zero() {
    const CamberGauge& gauge = car_.instruments.camber_gauge;
    if (const auto& check = readings_.gauge_check_deg; check && check->turned) {
        // One check serves the whole morning: its two readings do not come anew.
        const auto zero = [&](const char* key, double deg) {
            return add(InputKind::gauge_zero, key, "deg", deg, {},
                       reading(gauge.resolution_deg, gauge.repeatability_deg, readings_.times(key)));
        };
        zero_facing_ = zero("gauge_check.facing", check->facing);
        zero_turned_ = zero("gauge_check.turned", *check->turned);
        if (readings_.gauge_checks.size() > 1) {
            // Nobody says when a wheel was read: the zero lay anywhere as far from the mean as the farthest check.
            const double farthest_deg = farthest_check_deg(readings_);
            drift_ = add(InputKind::gauge_zero, "gauge_check.drift", "deg", 0.0, {}, {2.0 * farthest_deg, 0.0});
        }
    } else {
        zero_of_file_ = add(InputKind::gauge_zero, "gauge.zero", "deg", gauge.zero_error_deg, {},
                            normal((days_over(gauge, readings_) ? 2.0 : 1.0) * gauge.zero_uncertainty_deg));
    }
}

void SheetModel::add_pads() {
    if (!readings_.pad_height_mm) return;
    const PadLevel& level = car_.instruments.pad_level;
    const Spread read = reading(level.resolution_mm, level.repeatability_mm);  // the datum is set once and stays
    first_pad_ = static_cast<int>(inputs_.size());
    pads_by_them_ = pads_by_inputs(readings_);
    for (const PadStep& step : readings_.pad_steps)
        add(InputKind::pad, "pad." + of_wheel(index(step.from), std::string(corner_names[index(step.to)])), "mm",
            step.up_mm, {}, read);
    if (!readings_.pad_steps.empty()) return;
    for (std::size_t c = 0; c < corner_count; ++c)
        add(InputKind::pad, "pad." + std::string(corner_names[c]), "mm", (*readings_.pad_height_mm)[c], {}, read);
}

void SheetModel::add_heights() {
    const HeightGauge& gauge = car_.instruments.height_gauge;
    const bool skid_read = readings_.skid_mm && car_.skid_new_mm;
    const auto from_skid = [](const RideHeightPoint& point) { return point.from == HeightFrom::skid; };
    if (skid_read && std::ranges::any_of(car_.ride_heights, from_skid))
        skid_ = add(InputKind::skid, "skid", "mm", *readings_.skid_mm, {},
                    reading(gauge.resolution_mm, gauge.repeatability_mm));
    for (std::size_t place = 0; place < car_.ride_heights.size(); ++place) {
        const RideHeightPoint& point = car_.ride_heights[place];
        const auto read = readings_.ride_heights_mm.find(point.name);
        if (read == readings_.ride_heights_mm.end() || read->second.empty()) continue;
        const std::vector<double>& all = read->second;
        const double mean = std::accumulate(all.begin(), all.end(), 0.0) / static_cast<double>(all.size());
        const std::string key = "ride_height." + point.name;
        const double times = readings_.anew.contains(key) ? readings_.times(key) : static_cast<double>(all.size());
        const int height =
            add(InputKind::height, key, "mm", mean, reading(gauge.resolution_mm, gauge.repeatability_mm, times));
        const int settling =
            add(InputKind::settling, key + ".settling", "mm", 0.0, settled_in(settling_.ride_height_mm, key));
        points_.push_back({place, &point, height, settling});
    }
}

void SheetModel::add_wheel(std::size_t c) {
    const Instruments& with = car_.instruments;
    const CornerReadings& read = readings_.corners[c];
    WheelInputs& wheel = wheels_[c];
    if (read.flags_mm) {
        const auto flag = [&](const char* which, double mm) {
            const std::string key = of_wheel(c, which);
            const FlagRuler& ruler = with.flag_ruler;
            return add(InputKind::flag, key, "mm", mm,
                       reading(ruler.resolution_mm, ruler.repeatability_mm, readings_.times(key)));
        };
        wheel.flag_front = flag("flags.front", read.flags_mm->front_mm);
        wheel.flag_rear = flag("flags.rear", read.flags_mm->rear_mm);
        wheel.flags_off_level_deg = add(InputKind::flag_level, of_wheel(c, "flags.level"), "deg", 0.0,
                                        normal(with.flag_ruler.level_uncertainty_deg));
        wheel.toe_settling_deg = add(InputKind::settling, of_wheel(c, "toe.settling"), "deg", 0.0,
                                     settled_in(settling_.toe_deg, of_wheel(c, "flags.front")));
    }
    if (read.camber_deg) {
        const auto gauge = [&](const char* which, double deg) {
            const std::string key = of_wheel(c, which);
            return add(
                InputKind::gauge, key, "deg", deg,
                reading(with.camber_gauge.resolution_deg, with.camber_gauge.repeatability_deg, readings_.times(key)));
        };
        wheel.facing = gauge("camber.facing", read.camber_deg->facing);
        if (read.camber_deg->turned) wheel.turned = gauge("camber.turned", *read.camber_deg->turned);
        wheel.camber_settling_deg = add(InputKind::settling, of_wheel(c, "camber.settling"), "deg", 0.0,
                                        settled_in(settling_.camber_deg, of_wheel(c, "camber.facing")));
    }
    if (read.scale_kg) {
        const Scale& scale = with.scale;
        wheel.scale =
            add(InputKind::scale, of_wheel(c, "scale"), "kg", *read.scale_kg,
                reading(scale.resolution_kg, scale.repeatability_kg, readings_.times(of_wheel(c, "scale"))),
                normal(std::hypot(scale.zero_uncertainty_kg, 0.01 * scale.span_uncertainty_percent * *read.scale_kg)));
    }
}

/// They say how the car was set; no value moves by what one may be off.
void SheetModel::add_lengths(std::size_t c) {
    for (const auto& [length, mm] : readings_.corners[c].lengths_mm)
        add(InputKind::length, of_wheel(c, std::string(length_names[index(length)])), "mm", mm, {});
}

}  // namespace shimwise
