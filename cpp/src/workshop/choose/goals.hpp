// What is asked of a corner: from the targets and from what was measured, in the order of the list of outputs.
#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "shimwise/workshop/choose/choice.hpp"

namespace shimwise {

inline constexpr std::size_t most_wanted = 3;  // toe, camber, caster

struct WantedOutput {
    PlannedOutput output;    // predicted is left open
    double offset = 0.0;     // measured less model
    double variance = 0.0;   // of the next reading, nothing turned
    double price = 0.0;      // 1/tolerance; 0 of a limit
    Eigen::VectorXd per_mm;  // by unknown, at the present setting
};

struct Goals {
    std::vector<WantedOutput> wanted;
    std::vector<std::string> notes;  // what was read and is not wanted, or wanted and not read
};

/// `model`: the outputs of the corner as it stands on the measured ground. Caster is never read: the model's own.
Goals goals_of(CornerId id, const Measured& measured, const Targets& targets, const Outputs<double>& model);

/// Whether anything asks for adjusters of a purpose: a value is wanted, or a limit is not met now.
bool asks_for(const std::vector<WantedOutput>& wanted, Purpose purpose);

}  // namespace shimwise
