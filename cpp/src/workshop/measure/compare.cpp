#include "shimwise/workshop/measure/compare.hpp"

#include <algorithm>
#include <cmath>

namespace shimwise {
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
        if (row.target && !row.measured && !row.id.is(Output::caster)) ids.push_back(row.id);
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
        rows.push_back(std::move(row));
    }
    for (const auto& [id, target] : targets.values) {
        if (measured.find(id)) continue;
        rows.emplace_back();
        rows.back().id = id;
        rows.back().target = target;
    }
    return rows;
}

}  // namespace shimwise
