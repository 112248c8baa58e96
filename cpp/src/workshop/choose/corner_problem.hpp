// One corner's choice as numbers: what may be set to what, what is wanted, and what a combination would read.
#pragma once

#include "shimwise/motion/effects.hpp"
#include "shimwise/workshop/choose/plan.hpp"

namespace shimwise {

struct AllowedSetting {
    double setting = 0.0;       // turns or thickness
    double amount_mm = 0.0;     // from as drawn
    double steps = 0.0;         // from the present one, in steps of a hand or thinnest shims
    double variance_mm2 = 0.0;  // by which the amount will be missed
    double minutes = 0.0;
    std::optional<StackChoice> shims;
};

struct Unknown {
    std::size_t adjuster = 0;
    std::vector<AllowedSetting> settings;  // ascending
    std::optional<std::size_t> present;    // where it stands now; nothing: that breaks a limit
    double step_mm = 0.0;                  // of `steps`
    std::string shared_box;                // empty: no other stack of the plan draws on it
};

struct WantedOutput {
    PlannedOutput output;    // predicted is left open
    double offset = 0.0;     // measured less model
    double variance = 0.0;   // of the next reading, nothing turned
    double price = 0.0;      // 1/tolerance; 0 of a limit
    Eigen::VectorXd per_mm;  // by unknown, at the present setting
};

/// Two or more unknowns that turn one length: its limits hold for their sum.
struct SharedLength {
    std::vector<std::size_t> unknowns;
    double others_mm = 0.0;
    double least_mm = 0.0, most_mm = 0.0;
};

struct CornerProblem {
    CornerId id = CornerId::front_left;
    Setup now;
    Ground ground;
    std::vector<Unknown> unknowns;
    std::vector<WantedOutput> wanted;
    std::vector<SharedLength> shared_lengths;
    std::vector<std::string> notes;

    double combinations() const;
};

/// A set of allowed settings, one index per unknown.
using Combination = std::vector<std::size_t>;

inline constexpr std::size_t most_wanted = 3;  // toe, camber, caster

/// What a combination gives on the nonlinear model. Orders: nearest = (violation, cost), least work = (minutes, cost).
struct Candidate {
    Combination at;
    std::array<double, most_wanted> predicted{};
    double violation = 0.0;  // by how much limits are missed, summed
    double cost = 0.0;
    double minutes = 0.0;
    bool within = false;
    bool guarded = false;
};
bool nearer(const Candidate& a, const Candidate& b);
bool less_work(const Candidate& a, const Candidate& b);

/// Evaluates combinations one after another, each started from the arm of the one before.
class Evaluator {
public:
    explicit Evaluator(const CornerProblem& problem);

    /// Nothing where the corner does not assemble, or a shared length is beyond its limits.
    std::optional<Candidate> operator()(const Combination& at);
    std::uint64_t evaluated() const { return evaluated_; }

private:
    const CornerProblem& problem_;
    Setup setup_;
    Hold hold_;
    double arm_ = 0.0;
    std::uint64_t evaluated_ = 0;
};

/// Standard deviation of the next reading of a wanted output after a combination is set.
double next_deviation(const CornerProblem& problem, const WantedOutput& wanted, const Combination& at);

/// The wanted outputs of a corner, and whether anything asks for a purpose.
CornerProblem corner_problem(const Car& car, CornerId id, const Measured& measured, const Targets& targets);

/// Fills the settings of its stacks, once it is known which stacks of all corners draw on the same box.
void fill_stacks(std::array<CornerProblem, corner_count>& problems, const Car& car);

}  // namespace shimwise
