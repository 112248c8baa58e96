// A corner's derivatives for the car at rest, compiled once per instruction set and chosen at run time.
#pragma once

#include <cstddef>

#include "rest/jets.hpp"
#include "rest/plain_corner.hpp"
#include "shimwise/math/pack.hpp"

namespace shimwise {

/// A corner of the whole car at rest. Derivatives for adjusters `first_adjuster` and on and, after the last, the rack:
/// up to `table_settings` in all.
struct RestInput {
    const Geometry* geometry;
    const Riders* riders;
    const double* amounts_mm;
    int adjuster_count;
    int first_adjuster;
    double rack_mm;
    double half_tan;
    Vec3<double> plumb, normal;  // up along gravity and along the ground's normal, at the corner
};

/// One corner of four cars, as a kernel keeps it.
struct alignas(32) FourCorners {
    std::byte kept[16384];
};
using FourVectors = Vec3<FourNumbers>;

/// Heights of a contact in four states, `start` being where its half tangent is sought from.
struct FourHeld {
    FourVectors up;
    FourNumbers value, start;
};

/// What its strut is like there, and its rooms: below 0 the linkage, the drop link does not close.
struct FourStruts {
    FourNumbers spring_length, platform, room, bar_room;
};

/// The `StrutLoad` of each.
struct FourLoads {
    FourNumbers spring_N, spring_N_per_mm, rubber_N, rubber_N_per_mm, energy_Nmm;
};

using FourTurns = Turn<FourNumbers>;

/// How it stands there: `plumb` is up along gravity, at the corner.
struct FourStances {
    FourVectors contact;
    FourNumbers outboard;  // the circle of the rim that stands, from the wheel centre
    FourNumbers spring_length;
};

/// And its values over ground with this normal.
struct FourValues {
    FourNumbers outputs[output_count];
    FourNumbers bar_rad, inclination_to_plumb_deg;
    FourVectors third;
};

struct RestKernel {
    /// What enters the energy.
    void (*numbers)(const RestInput& in, CornerNumbers<table_locals>& out);
    /// values[row], and rates[row * table_locals + local], where in place of pitch and roll stand the x and y of
    /// `plumb` for the contact and the inclination to plumb, of `normal` for the outputs: they hold the contact still.
    void (*standing)(const RestInput& in, double* values, double* rates);

    // Four states at once, each with the bits that the scalar gives.
    /// Of four corners. Precondition: they differ in numbers alone.
    void (*set)(const PlainCorner* const* corners, FourCorners& four);
    /// Half tangents at which what is held is met; gives by bits the states where it is not.
    unsigned (*follow)(const FourCorners& four, const FourHeld& held, FourNumbers& half_tan);
    /// Goes to half tangents and keeps what enters the energy there.
    void (*go)(FourCorners& four, const FourNumbers& half_tan, FourStruts& out);
    /// What it adds where it has gone to last.
    void (*jets)(const FourCorners& four, const FourTurns& turns, const FourLoads& loads, double unsprung_kg,
                 CornerJets<newton_locals, FourNumbers>& out);
    void (*stances)(const FourCorners& four, const FourNumbers& half_tan, const FourVectors& plumb, FourStances& out);
    void (*values)(const FourCorners& four, const FourNumbers& half_tan, const FourVectors& normal,
                   const FourVectors& plumb, FourValues& out);
};

extern const RestKernel rest_kernel_base;
extern const RestKernel rest_kernel_avx2;

/// The best one of this machine.
const RestKernel& rest_kernel();

}  // namespace shimwise
