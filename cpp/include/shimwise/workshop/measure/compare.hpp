// What was measured against what it should be.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/files/targets.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// Toe in mm at the flags, front flag less rear flag beside strings that run straight: for a person who wants it so.
struct AtFlags {
    std::optional<double> measured_mm;
    std::optional<double> uncertainty_mm;
    std::optional<double> value_mm;  // wanted
    double tolerance_mm = 0.0;
    std::optional<double> least_mm;
    std::optional<double> most_mm;
    std::optional<double> difference_mm;  // measured less wanted
};

/// One line: what is measured or wanted, or both. `within` is nothing where either is missing.
struct Comparison {
    ValueId id;
    bool derived = false;
    std::optional<double> measured;
    std::optional<double> uncertainty;
    std::optional<Target> target;
    std::optional<double> difference;  // measured less wanted value
    std::optional<bool> within;
    std::optional<AtFlags> at_flags;  // of toe that is wanted in mm
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
