// The hot loops, compiled once per instruction set and chosen at run time. Raw pointers at the border.
#pragma once

#include "motion/drawing.hpp"
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

inline constexpr std::size_t kernel_lanes = std::tuple_size_v<FourNumbers>;

/// A coordinate of a point in four states: by how much it is off where it is.
struct FourMoves {
    std::size_t point, axis;
    FourNumbers by_mm;
};

/// Four states of one corner, each set by itself.
struct FourInput {
    const Geometry* geometry;
    const FourNumbers* amounts_mm;  // of each adjuster
    int adjuster_count;
    FourNumbers rack_mm;
    const DrawnPoints<double>* points;  // where some are elsewhere in each state; otherwise null
    const FourMoves* moves;
    std::size_t move_count;
    bool as_drawn;  // they move, or as built
    Hold hold;
    FourNumbers held;  // with the wheel held: travel from its drawn height
};

struct Kernel {
    const char* name;
    /// values[o], and rates[o * rates_per_output + 1 + a - first]: derivatives per mm with the held value kept.
    void (*table)(const TableInput& in, double* values, double* rates);
    void (*sweep)(const SweepInput& in);
    /// All outputs in the chassis frame, found from the drawn position: columns[output][state]. Gives by bits the
    /// states for which the caller must solve by itself.
    unsigned (*four)(const FourInput& in, FourNumbers* columns);
};

extern const Kernel kernel_base;
extern const Kernel kernel_avx2;

/// The best kernel of this machine.
const Kernel& kernel();
/// "base" or "avx2"; nullptr where this machine lacks it.
const Kernel* kernel_by_name(const char* name);

}  // namespace shimwise
