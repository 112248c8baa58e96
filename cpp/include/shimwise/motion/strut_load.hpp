// The force of a corner's spring and bump rubber at a length of the strut.
#pragma once

#include "shimwise/model/corner.hpp"

namespace shimwise {

/// Forces + = they push, how they grow per mm of shortening, and the energy of both.
struct StrutLoad {
    double spring_N = 0.0;  // through spring and helper; a loose spring carries nothing
    double spring_N_per_mm = 0.0;
    double rubber_N = 0.0;
    double rubber_N_per_mm = 0.0;
    double energy_Nmm = 0.0;

    double total_N() const { return spring_N + rubber_N; }
};

/// A spring longer than its free length: loose in its seats, or the pull that would be needed to hold it.
enum class Loose { carries_nothing, would_pull };

/// Spring's eye to eye as drawn.
double drawn_strut_mm(const Corner& corner);

/// Whether the file gives the spring's load; one that rests as drawn gets it from the car at rest.
bool load_is_given(const Corner& corner);

/// Eye to eye at `length_mm`, the platform `platform_mm` toward the spring (the strut then stands that much longer
/// under the same load; bump rubber and stops do not move). Precondition: `load_is_given`.
StrutLoad strut_load(const Corner& corner, double platform_mm, double length_mm, Loose loose = Loose::carries_nothing);

}  // namespace shimwise
