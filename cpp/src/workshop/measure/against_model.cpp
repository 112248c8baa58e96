#include "workshop/measure/against_model.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/rest/rates.hpp"
#include "shimwise/rest/solid.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/measure/level.hpp"
#include "workshop/measure/by_model.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double length_read_mm =
    0.25;  // by which a rod that was read eye to eye may be off; common practice, no source
constexpr double another_setting_mm = 3.0, another_load_kg = 10.0;  // as a card changes a rod, and fuel a car
constexpr double far_mm = 1e3;                                      // how far out flags stand that no file knows
constexpr double lever_mm = 1000.0;
constexpr double solved_to = 1e-6;  // mm, deg, kg: finer than this no model stands beside a car

/// The car as it was read, with three weights of nothing about its centre of gravity.
struct Standing {
    RestModel model;
    std::vector<ValueId> outputs;
    std::vector<RestVariable> variables;
    std::vector<double> values;
    MatrixXd rates;

    Index row(const ValueId& id) const {
        const auto found = std::ranges::find(outputs, id);
        return found == outputs.end() ? -1 : found - outputs.begin();
    }
    VectorXd by(std::size_t variable) const { return rates.col(static_cast<Index>(variable)); }
};

Standing standing(const Measured& measured, const Car& car) {
    Standing s;
    s.model = model_as_read(measured, rest_model(as_it_stood(car, measured)), car);
    const Vec3<double> cg = *s.model.car.mass.cg_mm;
    for (const Vec3<double>& at : {cg, cg + Vec3<double>(lever_mm, 0.0, 0.0), cg + Vec3<double>(0.0, lever_mm, 0.0)})
        s.model.weights.push_back({"", at, 0.0, s.model.share(at)});
    s.variables = rest_variables(s.model);
    const PadHeights pads_mm = measured.given.pad_height_mm.value_or(PadHeights{});
    if (measured.struts_solid) {
        s.outputs = solid_outputs(s.model);
        const RestState state = on_solid_struts(s.model, pads_mm, drawn_struts_mm(s.model.car)).stands;
        s.values = row(state.values, s.outputs);
        s.rates = solid_rates(s.model, state, pads_mm, s.outputs, s.variables);
    } else {
        s.outputs = rest_outputs(s.model);
        const RestState state = rest(s.model, pads_mm);
        s.values = row(state.values, s.outputs);
        s.rates = rest_rates(s.model, state, pads_mm, s.outputs, s.variables);
    }
    return s;
}

class Rows {
public:
    Rows(const Measured& measured, const Car& car, const Standing& stands)
        : measured_(measured), car_(car), stands_(stands) {
        for (std::size_t q = 0; q < measured.quantities.size(); ++q) {
            const Quantity& quantity = measured.quantities[q];
            if (!quantity.derived && stands.row(quantity.id) >= 0) quantities_.push_back(q);
        }
        if (measured.given.front_bar_mm && measured.given.rear_bar_mm && car.strings.bars_apart_mm > 0.0)
            for (std::size_t c = 0; c < corner_count; ++c)
                if (measured.given.corners[c].flags_mm) wheels_.push_back(c);
    }

    Index count() const { return static_cast<Index>(quantities_.size() + wheels_.size()); }
    const std::vector<std::size_t>& wheels() const { return wheels_; }
    const ValueId& id(std::size_t row) const { return measured_.quantities[quantities_[row]].id; }
    std::size_t values() const { return quantities_.size(); }
    Index wheel_row(std::size_t w) const { return static_cast<Index>(quantities_.size() + w); }

    VectorXd off() const {
        VectorXd off(count());
        for (std::size_t i = 0; i < quantities_.size(); ++i)
            off(static_cast<Index>(i)) = measured_.values.value(static_cast<Index>(quantities_[i])) -
                                         stands_.values[static_cast<std::size_t>(stands_.row(id(i)))];
        for (std::size_t w = 0; w < wheels_.size(); ++w) {
            const std::size_t c = wheels_[w];
            const Flags& flags = *measured_.given.corners[c].flags_mm;
            const double front = (*measured_.given.front_bar_mm)[c % 2], rear = (*measured_.given.rear_bar_mm)[c % 2];
            off(wheel_row(w)) = 0.5 * (flags.front_mm + flags.rear_mm) + flags_mm(c) -
                                (front_share(c) * front + (1.0 - front_share(c)) * rear);
        }
        return off;
    }

    /// Of a change of the model's values, one for each of its outputs.
    VectorXd by_model(const VectorXd& change) const {
        VectorXd by(count());
        for (std::size_t i = 0; i < quantities_.size(); ++i) by(static_cast<Index>(i)) = -change(stands_.row(id(i)));
        for (std::size_t w = 0; w < wheels_.size(); ++w) {
            const auto corner = static_cast<CornerId>(wheels_[w]);
            by(wheel_row(w)) = change(stands_.row({corner, Output::half_track})) +
                               radius_mm(wheels_[w]) * rad_per_deg * change(stands_.row({corner, Output::camber}));
        }
        return by;
    }

    MatrixXd by_inputs() const {
        MatrixXd by = MatrixXd::Zero(count(), static_cast<Index>(measured_.inputs.size()));
        for (std::size_t i = 0; i < quantities_.size(); ++i)
            by.row(static_cast<Index>(i)) = measured_.by_inputs.row(static_cast<Index>(quantities_[i]));
        for (std::size_t w = 0; w < wheels_.size(); ++w) {
            const std::size_t c = wheels_[w];
            const std::string wheel = std::string(corner_names[c]) + ".flags.";
            const std::string string = c % 2 == 0 ? "strings.left." : "strings.right.";
            const double side = c % 2 == 0 ? -1.0 : 1.0;  // a car that stands to the left is nearer to its left string
            const auto put = [&](const std::string& key, double rate) {
                const auto found = std::ranges::find(measured_.inputs, key, &InputQuantity::key);
                if (found != measured_.inputs.end()) by(wheel_row(w), found - measured_.inputs.begin()) = rate;
            };
            put(wheel + "front", 0.5);
            put(wheel + "rear", 0.5);
            put(string + "front", -front_share(c));
            put(string + "rear", front_share(c) - 1.0);
            put(c < 2 ? "settling.lateral.front" : "settling.lateral.rear", side);
        }
        const auto first = std::ranges::find(measured_.inputs, InputKind::pad, &InputQuantity::kind);
        if (first != measured_.inputs.end()) {
            MatrixXd pads(count(), static_cast<Index>(corner_count));
            for (std::size_t v = 0; v < stands_.variables.size(); ++v)
                if (const RestVariable& variable = stands_.variables[v]; variable.of == RestVariable::Of::pad)
                    pads.col(static_cast<Index>(variable.corner)) = by_model(stands_.by(v));
            const MatrixXd by_them = pads_by_inputs(measured_.given);
            by.middleCols(first - measured_.inputs.begin(), by_them.cols()) += pads * by_them;
        }
        return by;
    }

private:
    double radius_mm(std::size_t c) const { return car_.corners[c].wheel.radius_mm; }
    double x_mm(std::size_t c) const { return car_.corners[c].at(Point::wheel_centre).x; }

    /// From the centre plane out to the flags.
    double flags_mm(std::size_t c) const {
        const auto corner = static_cast<CornerId>(c);
        const auto at = [&](Output output) {
            return stands_.values[static_cast<std::size_t>(stands_.row({corner, output}))];
        };
        return at(Output::half_track) + radius_mm(c) * std::sin(at(Output::camber) * rad_per_deg) +
               car_.corners[c].wheel.flags_out_mm.value_or(0.0);
    }

    /// Of the front bar in the string's place beside this wheel; the bars stand as far from either axle.
    double front_share(std::size_t c) const {
        double middle = 0.0;
        for (std::size_t other = 0; other < corner_count; ++other) middle += x_mm(other) / corner_count;
        return 0.5 + (x_mm(c) - middle) / car_.strings.bars_apart_mm;
    }

    const Measured& measured_;
    const Car& car_;
    const Standing& stands_;
    std::vector<std::size_t> quantities_, wheels_;
};

/// By how much the length or pack of an adjuster may be off its setting; nothing of a pack, whose shims are counted.
double known_mm(const Adjuster& adjuster, const CornerReadings& read, const Known& known) {
    if (adjuster.stack() || !adjuster.length()) return 0.0;
    if (read.lengths_mm.contains(*adjuster.length())) return length_read_mm;
    switch (*adjuster.length()) {
        case Length::pushrod:
            return known.pushrods_mm;
        case Length::spring_platform:
            return known.platforms_mm;
        default:
            return known.rods_mm;
    }
}

}  // namespace

std::optional<AgainstModel> against_model(const Measured& measured, const Car& given) {
    const Car car = as_read(given, measured.read);
    const Known& known = car.known;
    try {
        const Standing stands = standing(measured, car);
        const Rows rows(measured, car, stands);
        if (rows.count() == 0) return std::nullopt;
        AgainstModel against{rows.off(), {}, rows.by_inputs(), {}};
        against.covariance = carried(against.by_inputs, covariance_of(measured.inputs));
        against.covariance.diagonal().array() += solved_to * solved_to;
        const auto may_be_off = [&against](const VectorXd& by, double u) {
            against.covariance += u * u * by * by.transpose();
        };

        std::vector<VectorXd> settings, weights;
        for (std::size_t v = 0; v < stands.variables.size(); ++v) {
            const RestVariable& variable = stands.variables[v];
            if (variable.of == RestVariable::Of::ballast) weights.push_back(rows.by_model(stands.by(v)));
            if (variable.of != RestVariable::Of::adjuster) continue;
            const Adjuster& adjuster = car.corners[variable.corner].adjusters[variable.index];
            const CornerReadings& read = measured.given.corners[variable.corner];
            const VectorXd by = rows.by_model(stands.by(v));
            may_be_off(by, known_mm(adjuster, read, known));
            settings.emplace_back(another_setting_mm * by);
        }
        const std::size_t first = weights.size() - 3;
        for (std::size_t i = 0; i < first; ++i) settings.emplace_back(another_load_kg * weights[i]);
        if (first == 0) settings.emplace_back(another_load_kg * weights[first]);
        against.by_settings.resize(rows.count(), static_cast<Index>(settings.size()));
        for (std::size_t i = 0; i < settings.size(); ++i) against.by_settings.col(static_cast<Index>(i)) = settings[i];

        may_be_off(weights[first], known.total_kg);
        const double total_kg = stands.model.total_kg();
        for (const std::size_t along : {first + 1, first + 2})
            may_be_off((weights[along] - weights[first]) * (total_kg / lever_mm), known.total_at_mm);

        for (std::size_t i = 0; i < rows.values(); ++i) {
            const ValueId& id = rows.id(i);
            const VectorXd one = VectorXd::Unit(rows.count(), static_cast<Index>(i));
            if (id.is(Output::toe)) may_be_off(one, known.toe_deg);
            if (id.is(CarOutput::total_toe_front) || id.is(CarOutput::total_toe_rear))
                may_be_off(one, std::sqrt(2.0) * known.toe_deg);
            if (id.is(Output::camber)) may_be_off(one, known.camber_deg);
            if (id.of == ValueId::Of::ride_height) may_be_off(one, known.places_mm);
        }
        std::array<VectorXd, 2> out;
        out.fill(VectorXd::Zero(rows.count()));
        for (std::size_t w = 0; w < rows.wheels().size(); ++w) {
            const VectorXd one = VectorXd::Unit(rows.count(), rows.wheel_row(w));
            may_be_off(one, std::hypot(known.places_mm, car.strings.on_car ? car.settling.lateral_mm : 0.0));
            if (!car.corners[rows.wheels()[w]].wheel.flags_out_mm) out[rows.wheels()[w] / 2] += one;
        }
        for (const VectorXd& axle : out) may_be_off(axle, far_mm);
        return against;
    } catch (const OutOfReach&) {
        return std::nullopt;  // the doubts of the car say so
    }
}

}  // namespace shimwise
