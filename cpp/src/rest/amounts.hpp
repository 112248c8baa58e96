// Amounts in sentences about a car at rest.
#pragma once

#include <cstdio>
#include <string>

#include "shimwise/units.hpp"

namespace shimwise {

inline std::string newtons(double force_N) {
    char text[64];
    std::snprintf(text, sizeof text, "%.1f N (%.2f kg)", force_N, force_N / gravity_m_per_s2);
    return text;
}

inline std::string millimetres(double length_mm) {
    char text[32];
    std::snprintf(text, sizeof text, "%.3f mm", length_mm);
    return text;
}

}  // namespace shimwise
