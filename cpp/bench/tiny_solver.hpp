// The peer: the same corner as six equations in six unknowns, solved by Ceres's TinySolver with automatic derivatives.
#pragma once

#include <memory>

#include "shimwise/motion/setup.hpp"

namespace bench {

/// Wheel axis and sensitivities of a state solved from the one before it, so states must follow each other closely.
class TinySolverCorner {
public:
    /// The contact is held; sensitivities are by the track rod's length.
    explicit TinySolverCorner(const shimwise::Setup& setup);
    ~TinySolverCorner();

    struct State {
        double toe_deg = 0.0;
        double camber_deg = 0.0;
        double toe_deg_per_mm = 0.0;
        double camber_deg_per_mm = 0.0;
    };
    State operator()(double contact_height_mm);

    /// Largest error of a length or of the held height at the state just solved.
    double residual_mm() const;

private:
    struct Problem;
    std::unique_ptr<Problem> problem_;
};

}  // namespace bench
