#include "shimwise/workshop/measure/reduce.hpp"

#include <cmath>
#include <stdexcept>
#include <utility>

#include "shimwise/error.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/measure/draws.hpp"
#include "workshop/measure/reading_notes.hpp"
#include "workshop/measure/sheet_model.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double step = 0.01;  // mm, deg, kg: derivatives come out to 1e-11 of the largest of a row
constexpr std::size_t least_draws = 1000;

void demand_flags_within_span(const Readings& readings, const Car& car) {
    std::vector<Problem> problems;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto& flags = readings.corners[c].flags_mm;
        if (!flags) continue;
        const double span = car.corners[c].wheel.flag_span_mm;
        if (!(std::fabs(flags->front_mm - flags->rear_mm) < span))
            problems.push_back({readings.file, 0, 0, std::string(corner_names[c]) + ".flags_mm", "",
                                "front and rear must differ by less than the flags' span"});
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

MatrixXd by_inputs(const SheetModel& model) {
    VectorXd steps = VectorXd::Constant(model.at().size(), step);
    for (const auto& [settling, height] : model.settlings_of_heights()) steps(settling) = 0.0;
    MatrixXd J = jacobian([&model](const VectorXd& x) { return model.values(x); }, model.at(), steps);
    for (const auto& [settling, height] : model.settlings_of_heights()) J.col(settling) = J.col(height);
    return J;
}

/// Throws std::domain_error where an input cannot be off by its uncertainty.
void demand_values_within_spread(const SheetModel& model) {
    VectorXd off(model.at().size());
    for (std::size_t i = 0; i < model.inputs().size(); ++i) off(static_cast<Index>(i)) = model.inputs()[i].standard();
    for (const auto& [settling, height] : model.settlings_of_heights())  // they are added up: off together
        off(height) += std::exchange(off(settling), 0.0);
    for (Index i = 0; i < off.size(); ++i)
        for (const double by : {-off(i), off(i)}) {
            if (by == 0.0) continue;
            VectorXd x = model.at();
            x(i) += by;
            if (!model.values(x).allFinite()) throw std::domain_error("no finite values within the spread");
        }
}

/// GUM 5.2.2.
void by_law(const SheetModel& model, Measured& m) {
    demand_values_within_spread(model);
    m.values = {model.values(model.at()), carried(m.by_inputs, covariance_of(m.inputs))};
    m.repeat_covariance = carried(m.by_inputs, anew_covariance_of(m.inputs));
}

template <class Spreads>
Measured measured_of(const Readings& readings, const Car& car, const Spreads& spread) {
    try {
        const SheetModel model(readings, car);
        Measured m;
        m.inputs = model.inputs();
        m.quantities = model.quantities();
        m.by_inputs = by_inputs(model);
        spread(model, m);
        m.ground = model.ground();
        for (std::size_t c = 0; c < corner_count; ++c) {
            m.string_angle_deg[c] = model.string_angle_rad(model.at(), c) * deg_per_rad;
            m.gauge_zero_deg[c] = model.gauge_zero_at(c);
        }
        return m;
    } catch (const std::domain_error&) {
        throw InputError({{readings.file, 0, 0, "", "",
                           "no finite values follow from these readings and what they may be off: one of the numbers "
                           "cannot be"}});
    }
}

/// Plumb with y outboard.
Vec3<double> outboard(const Vec3<double>& plumb, CornerId id) {
    return {plumb.x, is_left(id) ? plumb.y : -plumb.y, plumb.z};
}

}  // namespace

std::optional<std::size_t> Measured::find(const ValueId& id) const {
    for (std::size_t i = 0; i < quantities.size(); ++i)
        if (quantities[i].id == id) return i;
    return std::nullopt;
}

std::optional<double> Measured::value(const ValueId& id) const {
    const auto at = find(id);
    return at ? std::optional<double>(values.value(static_cast<Eigen::Index>(*at))) : std::nullopt;
}

std::optional<double> Measured::uncertainty(const ValueId& id) const {
    const auto at = find(id);
    if (!at) return std::nullopt;
    const auto i = static_cast<Eigen::Index>(*at);
    return std::sqrt(values.covariance(i, i));
}

std::optional<std::size_t> Measured::find(std::string_view key) const {
    for (std::size_t i = 0; i < quantities.size(); ++i)
        if (shimwise::key(quantities[i].id) == key) return i;
    return std::nullopt;
}

std::optional<double> Measured::value(std::string_view key) const {
    const auto at = find(key);
    return at ? value(quantities[*at].id) : std::nullopt;
}

std::optional<double> Measured::uncertainty(std::string_view key) const {
    const auto at = find(key);
    return at ? uncertainty(quantities[*at].id) : std::nullopt;
}

double camber_from_inclination(double inclination_deg, double toe_deg, const Vec3<double>& plumb, CornerId id) {
    const Vec3<double> p = outboard(plumb, id);
    const double s = std::sin(inclination_deg * rad_per_deg);
    const double t = std::tan(toe_deg * rad_per_deg);
    const double level = t * p.x + p.y;  // c pz - level = s sqrt(1 + t^2 + c^2), solved for c
    const double room = p.z * p.z - s * s;
    const double c = (level * p.z + s * std::sqrt(level * level + (1.0 + t * t) * room)) / room;
    return std::atan(c) * deg_per_rad;
}

double inclination_from_camber(double camber_deg, double toe_deg, const Vec3<double>& plumb, CornerId id) {
    const Vec3<double> p = outboard(plumb, id);
    const double t = std::tan(toe_deg * rad_per_deg);
    const double c = std::tan(camber_deg * rad_per_deg);
    return -std::asin((t * p.x + p.y - c * p.z) / std::sqrt(1.0 + t * t + c * c)) * deg_per_rad;
}

double flag_difference_mm(double toe_deg, double string_angle_deg, double flag_span_mm) {
    return flag_span_mm * std::sin((toe_deg + string_angle_deg) * rad_per_deg);
}

namespace {

template <class Spreads>
Measured reduced(const Readings& readings, const Car& car, const Spreads& spread) {
    demand_flags_within_span(readings, car);
    std::vector<std::string> notes;
    Settings read = settings_read(car, readings, notes);
    const Car now = as_read(car, read);
    Measured measured = measured_of(readings, now, spread);
    measured.given = readings;
    measured.ballast_kg = readings.ballast_kg;
    measured.bars = readings.bars;
    measured.struts_solid = readings.struts_solid;
    measured.read = std::move(read);
    measured.notes = reading_notes(readings, now, measured);
    measured.notes.insert(measured.notes.end(), notes.begin(), notes.end());
    return measured;
}

}  // namespace

Measured reduce(const Readings& readings, const Car& car) { return reduced(readings, car, by_law); }

Measured reduce(const Readings& readings, const Car& car, const Draws& draws) {
    if (draws.count < least_draws)
        throw InputError({{readings.file, 0, 0, "draws", std::to_string(draws.count), "needs 1000 or more"}});
    return reduced(readings, car, [&draws](const SheetModel& model, Measured& m) {
        const MatrixXd values = drawn(model, draws, {&InputQuantity::anew, &InputQuantity::stays});
        m.values = spread_of(values);
        m.within_95 = within(values, 0.95);
        m.repeat_covariance = spread_of(drawn(model, draws, {&InputQuantity::anew})).covariance;
    });
}

}  // namespace shimwise
