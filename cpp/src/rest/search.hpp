// The search for rest: Newton's method on the energy, and which droop stops are closed.
#pragma once

#include <optional>
#include <vector>

#include "rest/system.hpp"
#include "shimwise/motion/contact.hpp"
#include "shimwise/motion/unreached.hpp"

namespace shimwise {

/// There is no rest with this setup wheel's contact at the edge of its disc, and none with it in the middle.
class ContactJumps : public Unreached {
public:
    ContactJumps(std::size_t corner, const rest_system::Posture& at);
    std::size_t corner;
    rest_system::Posture at;
};

class RestSearch {
public:
    RestSearch(const RestModel& model, const SetCorners& corners, const PadHeights& pads_mm)
        : m_(model), corners_(corners), pads_mm_(pads_mm) {}

    /// The posture at rest, searched from the drawing, which is near to where most cars stand. Throws OutOfReach.
    /// `energies` gets the energy of every step.
    rest_system::Posture from_drawing(std::vector<double>& energies_Nmm) const;

    /// The same from where the soft car rests; see `soft_starts`. A step may climb the jumps of the discs' contacts.
    rest_system::Posture from_afar(const std::optional<double>& travel_share, std::vector<double>& energies_Nmm) const;

    /// The same from a posture close to it.
    rest_system::Posture from_near(const rest_system::Posture& at, std::vector<double>& energies_Nmm) const;

    /// Moves every corner to where its contact is on its pad, or its damper on its stop. Throws OutOfReach with the
    /// corner's name.
    void put_on_pads(rest_system::Posture& at) const;

private:
    struct HeldAt {
        Hold hold;
        double value = 0.0;
    };
    HeldAt held_at(const rest_system::Posture& at, std::size_t c) const;
    bool follows(rest_system::Posture& at) const;
    rest_system::Posture settled(rest_system::Posture at, double rise_Nmm, std::vector<double>& energies_Nmm) const;
    void settle(rest_system::Posture& at, double rise_Nmm, std::vector<double>& energies_Nmm) const;
    Stance<double> stance_of(const rest_system::Posture& at, std::size_t c) const;
    /// Which circle of each disc stands, from the wheel centre.
    std::array<double, corner_count> standing_circles_mm(const rest_system::Posture& at) const;
    /// Of the wheels near to a jump the nearest one.
    void stop_at_jumps(const rest_system::Posture& at) const;
    double jumps_Nmm() const;  // of the energy, at most
    bool change_stops(rest_system::Posture& at) const;

    const RestModel& m_;
    const SetCorners& corners_;
    const PadHeights& pads_mm_;
};

}  // namespace shimwise
