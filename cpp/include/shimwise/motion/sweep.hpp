// Many states of one corner: columns in, columns out, into the caller's memory.
#pragma once

#include <span>

#include "shimwise/motion/effects.hpp"

namespace shimwise {

/// Fills columns[output][state] for every held value; four states at a time where the machine can. States that can not
/// be reached throw OutOfReach, which names the first of them.
void sweep(const Setup& setup, const Hold& hold, std::span<const double> values, const Frame& frame,
           double* const* columns);

}  // namespace shimwise
