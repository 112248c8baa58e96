// Readings in the instruments' own numbers -> alignment, heights and weights with their covariance.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/math/uncertainty.hpp"
#include "shimwise/model/value_id.hpp"
#include "shimwise/workshop/files/readings.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "shimwise/workshop/measure/ground.hpp"
#include "shimwise/workshop/measure/input_quantities.hpp"

namespace shimwise {

struct Quantity {
    ValueId id;
    bool derived = false;  // follows from those before it
};

struct Measured {
    Readings given;  // what all of this follows from
    std::vector<Quantity> quantities;
    Uncertain values;  // in the order of `quantities`; derived ones included, so its covariance is singular
    Eigen::MatrixXd repeat_covariance;  // the part that comes anew when the same instruments read again: resolution,
                                        // repeatability, levelling of flags, settling. Zeros and string ends cancel.
    std::vector<InputQuantity> inputs;  // what the values are made of
    Eigen::MatrixXd by_inputs;          // d value / d input, rows as `quantities`, columns as `inputs`
    Eigen::MatrixXd within_95;          // of draws: 2.5 and 97.5 % of the values lie below; else no rows
    Ground ground;                      // toe and camber are in its frame
    std::array<double, corner_count> gauge_zero_deg{};    // what the camber gauge adds at this wheel, as it is held
    std::array<double, corner_count> string_angle_deg{};  // of the string beside this wheel, + = wider at the front
    std::map<std::string, double> ballast_kg;             // in the car when it was read, by name
    std::optional<BarsWere> bars;                         // as in the file
    bool struts_solid = false;
    Settings read;  // rods and shims that the readings give: they win over the car's
    std::vector<std::string> notes;

    std::optional<std::size_t> find(const ValueId& id) const;
    std::optional<double> value(const ValueId& id) const;
    std::optional<double> uncertainty(const ValueId& id) const;
    /// By key: "front_left.toe", "ride_height.front_left", "cross_weight".
    std::optional<std::size_t> find(std::string_view key) const;
    std::optional<double> value(std::string_view key) const;
    std::optional<double> uncertainty(std::string_view key) const;
};

/// GUM law of propagation over every reading and every error that readings share. What was not read is not among the
/// values and is named in the notes.
///   toe    = asin((front - rear)/span) - atan((front bar - rear bar)/bars apart), flags held level to the ground
///   camber : ISO 8855 angle in the ground's frame from the gauge's inclination to plumb
///   rake   = rear - front, each the mean of left and right; its angle asin(rake/distance)
/// Throws OutOfReach where the car as set cannot stand on the ground that was measured.
Measured reduce(const Readings& readings, const Car& car);

/// How often every input is drawn, and from which seed.
struct Draws {
    std::size_t count = 100'000;
    std::uint64_t seed = 0;
};

/// The same by propagation of distributions (JCGM 101): last digits are drawn evenly, all else normally. Values are
/// means of the draws. Throws InputError for fewer than a thousand draws, too.
Measured reduce(const Readings& readings, const Car& car, const Draws& draws);

/// ISO 8855 camber from the true inclination to plumb: with tangents t, c of toe and camber and s = sin(inclination),
/// t px + py - c pz = -s sqrt(1 + t^2 + c^2), p = plumb with y outboard. All angles in degrees.
double camber_from_inclination(double inclination_deg, double toe_deg, const Vec3<double>& plumb, CornerId id);

/// What an inclination to plumb is at a wheel with this toe and camber: the other way round.
double inclination_from_camber(double camber_deg, double toe_deg, const Vec3<double>& plumb, CornerId id);

/// Front flag less rear flag, mm, of a wheel with this toe beside this string.
double flag_difference_mm(double toe_deg, double string_angle_deg, double flag_span_mm);

}  // namespace shimwise
