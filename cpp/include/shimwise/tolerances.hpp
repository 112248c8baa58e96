// The numerical contract of docs/numerics.md as named constants. Tests assert these very numbers.
#pragma once

namespace shimwise::tolerances {

/// A held height or spring length is met to this.
inline constexpr double held_mm = 1e-10;
/// Newton steps before the bracketed search takes over.
inline constexpr int newton_steps = 12;
/// Triple product over its lengths' product below which a linkage is drawn at its toggle.
inline constexpr double toggle = 0.02;
/// Within this of upright the contact is taken at the middle of the disc.
inline constexpr double upright_deg = 0.02;
inline constexpr double upright_sine = 3.4906584969e-4;
/// A recipe moves its output, and leaves the others, to this: deg or mm.
inline constexpr double recipe = 1e-9;
/// Cells of a table of starts.
inline constexpr int start_cells = 256;
/// Every body is in balance to this share of the load.
inline constexpr double balance = 1e-9;
/// A linkage that makes more than this many times a load is at its toggle.
inline constexpr double largest_force = 1e4;
/// Newton steps of the car at rest, and the smallest share of one that is tried before it is given up.
inline constexpr int rest_steps = 60;
inline constexpr double rest_least_share = 1e-9;
/// The last step is smaller than this (angles over a metre); what is left is its square.
inline constexpr double rest_step_mm = 1e-4;
/// A droop stop is passed from here on, and so many changes of stops are tried.
inline constexpr double stop_mm = 1e-9;
inline constexpr int stop_changes = 24;

}  // namespace shimwise::tolerances
