#include "shimwise/workshop/measure/level.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"

namespace shimwise {
namespace {

using Eigen::Index;

constexpr double mm_per_m = 1000.0;
constexpr double surely = 2.0;  // standard deviations

std::vector<InputQuantity> pad_inputs(const Measured& measured) {
    std::vector<InputQuantity> pads;
    std::ranges::copy_if(measured.inputs, std::back_inserter(pads),
                         [](const InputQuantity& input) { return input.kind == InputKind::pad; });
    return pads;
}

/// Tilt fore and aft, tilt across, twist.
Eigen::Vector3d tilts_and_twist(const Plane& plane) {
    const std::vector<double>& off = plane.residual;
    return {mm_per_m * plane.a, mm_per_m * plane.b, off[0] - off[1] - off[2] + off[3]};
}

}  // namespace

Eigen::MatrixXd pads_by_inputs(const Readings& readings) {
    if (!readings.pad_steps.empty()) return pads_by_steps(readings.pad_steps);
    return Eigen::MatrixXd::Identity(corner_count, corner_count);
}

Eigen::Matrix4d pads_covariance(const Measured& measured) {
    return carried(pads_by_inputs(measured.given), covariance_of(pad_inputs(measured)));
}

std::vector<PadClosure> pad_closures(const Measured& measured) {
    const std::vector<InputQuantity> steps = pad_inputs(measured);
    std::vector<PadClosure> all;
    for (const PadLoop& loop : pad_loops(measured.given.pad_steps)) {
        Finding off;
        for (std::size_t s = 0; s < steps.size(); ++s) {
            const double sign = loop.by_steps(static_cast<Index>(s));
            off.value += sign * steps[s].value;
            off.u = std::hypot(off.u, sign * steps[s].standard());
        }
        all.push_back({loop.pads, off, std::abs(off.value) <= surely * off.u});
    }
    return all;
}

Level level(const Measured& measured, const Car& car) {
    const auto& heights_mm = measured.given.pad_height_mm;
    if (!heights_mm)
        throw InputError({{measured.given.file, 0, 0, "pads", "",
                           "were not read: pads.height_mm or pads.steps_mm says how the place lies"}});
    const Contacts contacts = contacts_on(measured.ground, as_read(car, measured.read));
    Level level;
    const double mean = std::accumulate(heights_mm->begin(), heights_mm->end(), 0.0) / corner_count;
    for (std::size_t c = 0; c < corner_count; ++c) {
        level.pads_mm[c] = (*heights_mm)[c] - mean;
        std::array<double, corner_count> one{};
        one[c] = 1.0;
        level.by_pads.col(static_cast<Index>(c)) = tilts_and_twist(pads_plane(measured.ground, contacts, one));
    }
    const Plane plane = pads_plane(measured.ground, contacts, level.pads_mm);
    std::ranges::copy(plane.residual, level.off_plane_mm.begin());
    const Eigen::Vector3d found = tilts_and_twist(plane);
    level.covariance = carried(level.by_pads, pads_covariance(measured));
    const Eigen::Vector3d u = level.covariance.diagonal().cwiseSqrt();
    level.fore_aft_mm_per_m = {found(0), u(0)};
    level.across_mm_per_m = {found(1), u(1)};
    level.twist_mm = {found(2), u(2)};
    level.closures = pad_closures(measured);
    return level;
}

}  // namespace shimwise
