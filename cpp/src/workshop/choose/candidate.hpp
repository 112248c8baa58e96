// What a combination of allowed settings gives at a corner, on the nonlinear model, and how good that is.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "workshop/choose/corner_problem.hpp"

namespace shimwise {

/// A set of allowed settings, one index per unknown.
using Combination = std::vector<std::size_t>;

/// What a combination gives on the nonlinear model. Orders: nearest = limits kept before limits missed, then cost, to
/// which a missed limit adds; least work = (minutes, cost).
struct Candidate {
    Combination at;
    std::array<double, most_wanted> predicted{};
    double violation = 0.0;  // by how much limits are missed, summed, in deg
    double cost = 0.0;
    double minutes = 0.0;
    bool within = false;
    bool guarded = false;

    bool misses() const { return violation > 0.0; }
    /// A squared tolerance for each 0.001 deg: a limit comes before targets, but not at any price for them.
    double cost_and_limits() const { return cost + 1e3 * violation; }
};
bool nearer(const Candidate& a, const Candidate& b);
bool less_work(const Candidate& a, const Candidate& b);

/// Evaluates combinations one after another, each started from the position of the one before.
class Evaluator {
public:
    explicit Evaluator(const CornerProblem& problem);

    /// Nothing where the corner does not assemble, or a shared length is beyond its limits.
    std::optional<Candidate> operator()(const Combination& at);
    std::uint64_t evaluated() const { return evaluated_; }

private:
    Candidate apply(const Combination& at);
    bool lengths_allowed(const Combination& at) const;
    std::optional<Outputs<double>> solved();

    const CornerProblem& problem_;
    Setup setup_;
    Hold hold_;
    double half_tan_ = 0.0;
    std::uint64_t evaluated_ = 0;
};

/// Standard deviation of the next reading of a wanted output after a combination is set.
double next_deviation(const CornerProblem& problem, const WantedOutput& wanted, const Combination& at);

}  // namespace shimwise
