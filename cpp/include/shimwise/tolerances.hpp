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

}  // namespace shimwise::tolerances
