// What was measured against what it should be.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/files/targets.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// One line: what is measured or wanted, or both. `within` is nothing where either is missing.
struct Comparison {
    ValueId id;
    bool derived = false;
    std::optional<double> measured;
    std::optional<double> uncertainty;
    std::optional<Target> target;
    std::optional<double> difference;  // measured less wanted value
    std::optional<bool> within;
};

/// Every measured value in its order, then targets whose value was not measured.
std::vector<Comparison> compare(const Measured& measured, const Targets& targets);

/// Targets whose value nothing read answers; a caster is never read, and judged by the model.
std::vector<ValueId> unread(const std::vector<Comparison>& compared);

/// How many targets something read answers.
std::size_t judged(const std::vector<Comparison>& compared);

std::optional<Target> target_of(const Targets& targets, const ValueId& id);

/// Whether a value meets all that a target says.
bool meets(const Target& target, double value);

}  // namespace shimwise
