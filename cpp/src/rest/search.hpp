// The search for rest: Newton's method on the energy, and which droop stops are closed.
#pragma once

#include <vector>

#include "rest/system.hpp"

namespace shimwise {

class RestSearch {
public:
    RestSearch(const RestModel& model, const SetCorners& corners, const PadHeights& pads_mm)
        : m_(model), corners_(corners), pads_mm_(pads_mm) {}

    /// The posture at rest. Throws OutOfReach. `energies` gets the energy of every step.
    rest_system::Posture found(std::vector<double>& energies_Nmm) const;

    /// Moves every corner to where its contact is on its pad, or its damper on its stop. Throws OutOfReach with the
    /// corner's name.
    void put_on_pads(rest_system::Posture& at) const;

private:
    struct HeldAt {
        Hold hold;
        double value = 0.0;
    };
    HeldAt held_at(const rest_system::Posture& at, std::size_t c) const;
    rest_system::Posture as_drawn() const;
    bool follows(rest_system::Posture& at) const;
    void settle(rest_system::Posture& at, std::vector<double>& energies_Nmm) const;
    bool change_stops(rest_system::Posture& at) const;

    const RestModel& m_;
    const SetCorners& corners_;
    const PadHeights& pads_mm_;
};

}  // namespace shimwise
