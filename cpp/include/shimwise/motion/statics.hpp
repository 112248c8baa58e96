// The 6x6 of a corner: the five links that hold the upright and what is held, as lines in space. It gives the
// first-order table again without dual numbers.
#pragma once

#include <Eigen/Core>
#include <array>
#include <vector>

#include "shimwise/motion/outputs.hpp"
#include "shimwise/motion/setup.hpp"

namespace shimwise {

/// Motion of the upright: its turn (rad), then the velocity (mm) of its point at the chassis origin.
using Twist = Eigen::Matrix<double, 6, 1>;
using Matrix6 = Eigen::Matrix<double, 6, 6>;

/// The links of rows 1 to 5.
inline constexpr std::array<Length, 5> upright_links = {
    Length::upper_wishbone_front_leg, Length::upper_wishbone_rear_leg, Length::lower_wishbone_front_leg,
    Length::lower_wishbone_rear_leg, Length::track_rod};

/// Row i: the line's Pluecker coordinates [a x n, n], n the unit vector from the link's chassis end to its end a on the
/// upright, so that row . twist = n . (v + omega x a) is its lengthening. Row 6: what is held, per twist.
/// Precondition: `solved` is a state of `setup` with status ok.
Matrix6 constraints(const Setup& setup, const Solved& solved, const Hold& hold);

/// The motion that keeps all five links, per mm of what is held: constraints * twist = (0, 0, 0, 0, 0, 1).
Twist null_twist(const Setup& setup, const Solved& solved, const Hold& hold);

/// Outputs that are rates of the null motion; units and signs as in `output_list`.
struct NullRates {
    double motion_ratio = 0.0;
    double bump_steer_deg_per_mm = 0.0;
    double camber_gain_deg_per_mm = 0.0;
};
NullRates null_rates(const Setup& setup, const Solved& solved, const Frame& frame = {});

/// Outputs whose derivative is of first order; the others are rates themselves.
inline constexpr std::array<Output, 10> first_order_outputs = {
    Output::toe,   Output::camber, Output::inclination, Output::caster,         Output::kingpin_inclination,
    Output::trail, Output::scrub,  Output::half_track,  Output::chassis_height, Output::spring_length};

/// Derivatives per mm of every adjuster in the order of `first_order_outputs`, what is held kept:
/// n . (v + omega x a) = (rate of length) + n . (motion of the chassis end) - n . (motion of the upright's end on it).
/// Throws OutOfReach.
std::vector<std::array<double, first_order_outputs.size()>> rates_by_matrix(const Setup& setup, const Hold& hold,
                                                                            double value, const Frame& frame = {});

}  // namespace shimwise
