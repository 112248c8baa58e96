#include "shimwise/workshop/measure/compare.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/units.hpp"

namespace shimwise {
namespace {

std::optional<AtFlags> at_flags(const Comparison& row) {
    if (!row.target || !row.target->flag_span_mm) return std::nullopt;
    const double span_mm = *row.target->flag_span_mm;
    const auto mm = [&](const std::optional<double>& toe_deg) {
        return toe_deg ? std::optional(flag_difference_mm(*toe_deg, 0.0, span_mm)) : std::nullopt;
    };
    AtFlags at = {mm(row.measured),     {}, mm(row.target->value), *mm(row.target->tolerance), mm(row.target->least),
                  mm(row.target->most), {}};
    if (row.measured && row.uncertainty)
        at.uncertainty_mm = span_mm * std::cos(*row.measured / deg_per_rad) * *row.uncertainty / deg_per_rad;
    if (at.measured_mm && at.value_mm) at.difference_mm = *at.measured_mm - *at.value_mm;
    return at;
}

}  // namespace

bool meets(const Target& target, double value) {
    if (!std::isfinite(value)) return false;
    if (target.value && !(std::fabs(value - *target.value) <= target.tolerance)) return false;
    if (target.least && !(value >= *target.least)) return false;
    return !target.most || value <= *target.most;
}

std::optional<Target> target_of(const Targets& targets, const ValueId& id) {
    const auto found = targets.values.find(id);
    return found == targets.values.end() ? std::nullopt : std::optional<Target>(found->second);
}

std::vector<ValueId> unread(const std::vector<Comparison>& compared) {
    std::vector<ValueId> ids;
    for (const Comparison& row : compared)
        if (row.target && !row.measured && !info(row.id).by_model) ids.push_back(row.id);
    return ids;
}

std::size_t judged(const std::vector<Comparison>& compared) {
    return static_cast<std::size_t>(
        std::ranges::count_if(compared, [](const Comparison& row) { return row.within.has_value(); }));
}

std::vector<Comparison> compare(const Measured& measured, const Targets& targets) {
    std::vector<Comparison> rows;
    for (const Quantity& quantity : measured.quantities) {
        Comparison row;
        row.id = quantity.id;
        row.derived = quantity.derived;
        row.measured = measured.value(row.id);
        row.uncertainty = measured.uncertainty(row.id);
        row.target = target_of(targets, row.id);
        if (row.target) {
            row.within = meets(*row.target, *row.measured);
            if (row.target->value) row.difference = *row.measured - *row.target->value;
        }
        row.at_flags = at_flags(row);
        rows.push_back(std::move(row));
    }
    for (const auto& [id, target] : targets.values) {
        if (measured.find(id)) continue;
        rows.emplace_back();
        rows.back().id = id;
        rows.back().target = target;
        rows.back().at_flags = at_flags(rows.back());
    }
    return rows;
}

}  // namespace shimwise
