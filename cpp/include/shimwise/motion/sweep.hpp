// Many states of one corner: columns in, columns out, into the caller's memory.
#pragma once

#include <span>

#include "shimwise/motion/outputs.hpp"
#include "shimwise/motion/setup.hpp"

namespace shimwise {

/// Fills columns[output][state] for every held value; four states at a time where the machine can. States that can not
/// be reached throw OutOfReach, which names the first of them.
void sweep(const Setup& setup, const Hold& hold, std::span<const double> values, const Frame& frame,
           double* const* columns);

/// All outputs of a corner as set, over states given by wheel travel and rack travel, chassis frame: fills
/// block[output][state]. States that follow each other with the same rack travel go together. Throws OutOfReach.
void alignment(const Corner& corner, std::span<const double> travel_mm, std::span<const double> rack_mm, double* block);

/// Places of all joints over such states: fills block[point][state][x, y, z]. Throws OutOfReach.
void joints(const Corner& corner, std::span<const double> travel_mm, std::span<const double> rack_mm, double* block);

}  // namespace shimwise
