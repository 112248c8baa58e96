#include "shimwise/workshop/measure/sheet_findings.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/units.hpp"
#include "shimwise/workshop/measure/settled.hpp"
#include "workshop/files/repeated.hpp"

namespace shimwise {
namespace {

/// Sum of factor times input, of independent inputs.
Finding sum(const std::vector<std::pair<double, const InputQuantity*>>& parts) {
    Finding f;
    double variance = 0.0;
    for (const auto& [factor, input] : parts) {
        f.value += factor * input->value;
        variance += std::pow(factor * input->standard(), 2);
    }
    f.u = std::sqrt(variance);
    return f;
}

const InputQuantity& named(const Measured& m, const std::string& key) {
    return *std::find_if(m.inputs.begin(), m.inputs.end(), [&](const InputQuantity& i) { return i.key == key; });
}

/// Of one string, from how much farther out it is at the front bar.
Finding angle_deg(const Finding& wider_mm, double bars_apart_mm) {
    const double slope = wider_mm.value / bars_apart_mm;
    return {std::atan(slope) * deg_per_rad, wider_mm.u / (bars_apart_mm * (1.0 + slope * slope)) * deg_per_rad};
}

double scatter_of_one(InputKind kind, const Instruments& with) {
    switch (kind) {
        case InputKind::flag:
            return Spread{with.flag_ruler.resolution_mm, with.flag_ruler.repeatability_mm}.standard();
        case InputKind::height:
            return Spread{with.height_gauge.resolution_mm, with.height_gauge.repeatability_mm}.standard();
        case InputKind::scale:
            return Spread{with.scale.resolution_kg, with.scale.repeatability_kg}.standard();
        default:  // the camber gauge, at a wheel or at its check
            return Spread{with.camber_gauge.resolution_deg, with.camber_gauge.repeatability_deg}.standard();
    }
}

/// How far a car that settles anew moves what is read here.
double settles_by(const InputQuantity& input, const Settling& by, const Car& car) {
    if (input.kind == InputKind::height) return by.ride_height_mm;
    if (input.kind == InputKind::scale) return by.warp_kg;
    if (input.kind != InputKind::flag) return by.camber_deg;
    const bool front = input.key.starts_with("front");
    const double span_mm = car[front ? CornerId::front_left : CornerId::rear_left].wheel.flag_span_mm;
    return std::hypot(0.5 * span_mm * by.toe_deg * rad_per_deg, by.lateral_mm);
}

std::vector<double> means(const std::vector<std::vector<double>>& sets) {
    std::vector<double> all;
    for (const std::vector<double>& set : sets)
        if (!set.empty()) all.push_back(mean(set));
    return all;
}

}  // namespace

std::vector<PartOfVariance> made_of(const Measured& m, std::size_t quantity) {
    std::array<double, input_kind_words.size()> variance{};
    double all = 0.0;
    for (std::size_t i = 0; i < m.inputs.size(); ++i) {
        const double slope = m.by_inputs(static_cast<Eigen::Index>(quantity), static_cast<Eigen::Index>(i));
        const double part = std::pow(slope * m.inputs[i].standard(), 2);
        variance[static_cast<std::size_t>(m.inputs[i].kind)] += part;
        all += part;
    }
    std::vector<PartOfVariance> parts;
    for (std::size_t kind = 0; kind < variance.size(); ++kind)
        if (variance[kind] > 0.0) parts.push_back({static_cast<InputKind>(kind), variance[kind] / all});
    std::ranges::stable_sort(parts, std::ranges::greater{}, &PartOfVariance::share);
    return parts;
}

Finding gauge_zero_deg(const Measured& m) {
    if (!m.given.gauge_check_deg) return sum({{1.0, &named(m, "gauge.zero")}});
    std::vector<std::pair<double, const InputQuantity*>> parts = {{0.5, &named(m, "gauge_check.facing")},
                                                                  {0.5, &named(m, "gauge_check.turned")}};
    if (m.given.gauge_checks.size() > 1) parts.emplace_back(1.0, &named(m, "gauge_check.drift"));
    return sum(parts);
}

std::vector<Repeat> repeats(const Measured& m, const Car& car) {
    std::vector<Repeat> all;
    const auto add = [&](const InputQuantity& input, const std::vector<double>& readings) {
        all.push_back({.key = input.key,
                       .unit = input.unit,
                       .readings = readings,
                       .scatter = scatter_of_one(input.kind, car.instruments)});
    };
    const std::string height = "ride_height.";
    for (const InputQuantity& input : m.inputs) {
        if (const auto sets = m.given.anew.find(input.key); sets != m.given.anew.end()) {
            add(input, means(sets->second));
            all.back().in_sets = true;
            all.back().scatter = std::hypot(all.back().scatter, settles_by(input, settling(m.given, car), car));
            for (const std::vector<double>& set : sets->second)
                if (set.size() > 1) add(input, set);
            continue;
        }
        if (const auto found = m.given.repeated.find(input.key); found != m.given.repeated.end())
            add(input, found->second);
        if (input.kind != InputKind::height) continue;
        const std::vector<double>& heights = m.given.ride_heights_mm.at(input.key.substr(height.size()));
        if (heights.size() > 1) add(input, heights);
    }
    return all;
}

std::optional<StringsRead> strings_read(const Measured& m, const Car& car) {
    if (!m.given.front_bar_mm || !m.given.rear_bar_mm || !(car.strings.bars_apart_mm > 0.0)) return std::nullopt;
    const InputQuantity &left_front = named(m, "strings.left.front"), &left_rear = named(m, "strings.left.rear"),
                        &right_front = named(m, "strings.right.front"), &right_rear = named(m, "strings.right.rear");
    const double apart = car.strings.bars_apart_mm;
    return StringsRead{
        .angle_deg = {angle_deg(sum({{1.0, &left_front}, {-1.0, &left_rear}}), apart),
                      angle_deg(sum({{1.0, &right_front}, {-1.0, &right_rear}}), apart)},
        .wider_in_front_mm = sum({{1.0, &left_front}, {1.0, &right_front}, {-1.0, &left_rear}, {-1.0, &right_rear}}),
        .off_centre_mm = {sum({{0.5, &left_front}, {-0.5, &right_front}}),
                          sum({{0.5, &left_rear}, {-0.5, &right_rear}})}};
}

}  // namespace shimwise
