// A corner's derivatives for the car at rest, compiled once per instruction set and chosen at run time.
#pragma once

#include "rest/corner_numbers.hpp"

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

struct RestKernel {
    /// What enters the energy.
    void (*numbers)(const RestInput& in, CornerNumbers<table_locals>& out);
    /// values[row], and rates[row * table_locals + local], where in place of pitch and roll stand the x and y of
    /// `plumb` for the contact and the inclination to plumb, of `normal` for the outputs: they hold the contact still.
    void (*standing)(const RestInput& in, double* values, double* rates);
};

extern const RestKernel rest_kernel_base;
extern const RestKernel rest_kernel_avx2;

/// The best one of this machine.
const RestKernel& rest_kernel();

}  // namespace shimwise
