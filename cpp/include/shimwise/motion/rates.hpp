// Outputs of a setup with something held, and their derivatives by its adjusters.
#pragma once

#include <vector>

#include "shimwise/motion/outputs.hpp"
#include "shimwise/motion/setup.hpp"

namespace shimwise {

/// The held value of a state with the wheel centre `travel_mm` above its drawn height. Throws OutOfReach.
double present_value(const Setup& setup, const Hold& hold, double travel_mm = 0.0);

/// Outputs with something held at a value. Throws OutOfReach.
Outputs<double> outputs_at(const Setup& setup, const Hold& hold, double value, const Frame& frame = {});

/// Derivative of every output by every adjuster, per mm, the held value kept.
struct Rates {
    Outputs<double> values;
    std::vector<Outputs<double>> per_mm;
};
Rates rates(const Setup& setup, const Hold& hold, double value, const Frame& frame = {});

/// d(rates)/d(travel): for every adjuster, per mm, by how much its entry for every output grows per mm of the wheel
/// centre's rise. At each travel the entry is that of `rates` with the held value of that state kept.
/// With the half tangent t as the one freedom, R = out_s - out_t H_s / H_t is differentiated along t in nested dual
/// numbers, then divided by dz/dt. Throws OutOfReach.
std::vector<Outputs<double>> rates_per_travel(const Setup& setup, const Hold& hold, double value,
                                              const Frame& frame = {});

/// The same of a corner as set, chassis frame, at the state with the wheel centre `travel_mm` above its drawn height.
std::vector<Outputs<double>> rates_per_travel(const Corner& corner, Held held, double travel_mm, double rack_mm);

}  // namespace shimwise
