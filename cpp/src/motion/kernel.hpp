// The two hot loops, compiled once per instruction set and chosen at run time. Raw pointers at the border.
#pragma once

#include "shimwise/motion/outputs.hpp"

namespace shimwise {

/// Adjusters in one pass of the table: three blocks of four derivatives, less the half tangent's.
inline constexpr int rates_per_output = 12;
inline constexpr int adjusters_per_pass = rates_per_output - 1;

struct TableInput {
    const Geometry* geometry;
    const double* amounts_mm;
    int adjuster_count;
    int first_adjuster;  // derivatives for this one and up to `adjusters_per_pass` in all
    double rack_mm;
    double half_tan;  // solved
    Hold hold;
    Frame frame;
};

struct SweepInput {
    const Geometry* geometry;
    const double* amounts_mm;
    int adjuster_count;
    double rack_mm;
    Hold hold;
    Frame frame;
    const double* values;
    const double* starts;
    long count;
    double* const* columns;  // output_count of them
    unsigned char* met;      // per state: 0 where the caller must solve by itself
};

struct Kernel {
    const char* name;
    /// values[o], and rates[o * rates_per_output + 1 + a - first]: derivatives per mm with the held value kept.
    void (*table)(const TableInput& in, double* values, double* rates);
    void (*sweep)(const SweepInput& in);
};

extern const Kernel kernel_base;
extern const Kernel kernel_avx2;

/// The best kernel of this machine.
const Kernel& kernel();
/// "base" or "avx2"; nullptr where this machine lacks it.
const Kernel* kernel_by_name(const char* name);

}  // namespace shimwise
