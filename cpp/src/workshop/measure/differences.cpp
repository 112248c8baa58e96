#include "shimwise/workshop/measure/differences.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "shimwise/units.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Strings on stands settle beside the car.
bool strings_on_stands(const Measured& measured) {
    return std::ranges::any_of(measured.inputs,
                               [](const InputQuantity& input) { return input.key == "settling.lateral.front"; });
}

constexpr std::size_t date_letters = 10;  // 2026-05-02

/// On one day at one place.
bool one_visit(const Measured& old, const Measured& now) {
    const std::string &was = old.given.at, &is = now.given.at;
    return was.size() >= date_letters && was.substr(0, date_letters) == is.substr(0, date_letters) &&
           old.given.place == now.given.place;
}

bool same_check(const Measured& old, const Measured& now) {
    const auto &was = old.given.gauge_checks, &is = now.given.gauge_checks;
    return std::ranges::equal(was, is, {}, &GaugeCheck::at, &GaugeCheck::at);
}

struct Named {
    const char* words;
    InputKind kind;
    std::string InstrumentNames::* name;
};
const std::array<Named, 3> instruments = {{{"the strings", InputKind::string_end, &InstrumentNames::strings},
                                           {"the camber gauge", InputKind::gauge_zero, &InstrumentNames::camber_gauge},
                                           {"the scales", InputKind::scale, &InstrumentNames::scale}}};

std::string called(const std::string& name) { return name.empty() ? "not named" : "\"" + name + "\""; }

const InputQuantity* found(const Measured& measured, const std::string& key) {
    const auto at = std::ranges::find(measured.inputs, key, &InputQuantity::key);
    return at == measured.inputs.end() ? nullptr : &*at;
}

/// What lasts in the readings of one instrument, and whether both sheets share it.
void say_instrument(const Named& one, const Measured& old, const Measured& now, Differences& into) {
    const auto lasts = [&](const InputQuantity& input) {
        return input.kind == one.kind && input.stays.standard() > 0.0;
    };
    const auto is = std::ranges::find_if(now.inputs, lasts);
    if (is == now.inputs.end() || std::ranges::none_of(old.inputs, lasts)) return;
    const InputQuantity* was = found(old, is->key);
    const std::string &before = old.given.instruments.*one.name, &after = now.given.instruments.*one.name;
    if (was && shared(old, *was, now, *is))
        into.shared.emplace_back(one.words);
    else if (before != after)
        into.apart.push_back(std::string(one.words) + " (" + called(before) + ", then " + called(after) + ")");
    else if (one.kind == InputKind::gauge_zero)
        into.apart.push_back(std::string(one.words) + " (its zero was checked anew)");
    else
        into.apart.push_back(std::string(one.words) + " (on stands, set anew)");
}

}  // namespace

std::optional<double> common_tolerance(const ValueId& id, const Car& car) {
    const ValueInfo& of = info(id);
    if (of.common_tolerance || !of.tolerance_at_flags_mm || !id.is(Output::toe)) return of.common_tolerance;
    const double span_mm = car.corners[id.corner].wheel.flag_span_mm;
    if (!(span_mm > *of.tolerance_at_flags_mm)) return std::nullopt;
    return std::asin(*of.tolerance_at_flags_mm / span_mm) * deg_per_rad;
}

bool shared(const Measured& old, const InputQuantity& was, const Measured& now, const InputQuantity& is) {
    if (was.key != is.key) return false;
    const InstrumentNames &before = old.given.instruments, &after = now.given.instruments;
    const bool read_once = one_visit(old, now) && was.value == is.value;
    switch (is.kind) {
        case InputKind::string_end:
            return before.strings == after.strings &&
                   (read_once || !(strings_on_stands(old) || strings_on_stands(now)));
        case InputKind::gauge_zero:
            return before.camber_gauge == after.camber_gauge &&
                   (is.key == "gauge.zero" || (read_once && same_check(old, now)));
        case InputKind::scale:
            return before.scale == after.scale;
        default:
            return read_once;
    }
}

MatrixXd difference_covariance(const Measured& old, const MatrixXd& A, const Measured& now, const MatrixXd& B) {
    MatrixXd covariance = carried(A, anew_covariance_of(old.inputs)) + carried(B, anew_covariance_of(now.inputs));
    const auto add = [&covariance](const VectorXd& by) { covariance += by * by.transpose(); };
    std::vector<bool> told(old.inputs.size(), false);
    for (std::size_t i = 0; i < now.inputs.size(); ++i) {
        const double s = now.inputs[i].stays.standard();
        VectorXd by = B.col(static_cast<Index>(i)) * s;
        const InputQuantity* was = found(old, now.inputs[i].key);
        if (was && shared(old, *was, now, now.inputs[i])) {
            const auto place = static_cast<std::size_t>(was - old.inputs.data());
            by -= A.col(static_cast<Index>(place)) * was->stays.standard();
            told[place] = true;
        }
        if (s > 0.0 || by.squaredNorm() > 0.0) add(by);
    }
    for (std::size_t i = 0; i < old.inputs.size(); ++i)
        if (const double s = old.inputs[i].stays.standard(); !told[i] && s > 0.0) add(A.col(static_cast<Index>(i)) * s);
    return covariance;
}

MatrixXd by_inputs_of(const Measured& measured, const std::vector<Difference>& values) {
    MatrixXd rows(static_cast<Index>(values.size()), measured.by_inputs.cols());
    for (std::size_t i = 0; i < values.size(); ++i)
        rows.row(static_cast<Index>(i)) = measured.by_inputs.row(static_cast<Index>(*measured.find(values[i].id)));
    return rows;
}

Differences differences(const Measured& old, const Measured& now, const Car& car) {
    Differences all;
    for (std::size_t i = 0; i < now.quantities.size(); ++i) {
        const Quantity& quantity = now.quantities[i];
        const auto before = old.value(quantity.id);
        if (!before) {
            all.only_new.push_back(quantity.id);
            continue;
        }
        Difference one{.id = quantity.id, .derived = quantity.derived};
        one.was = *before;
        one.is = now.values.value(static_cast<Index>(i));
        one.by = one.is - one.was;
        one.tolerance = common_tolerance(quantity.id, car);
        if (one.tolerance) one.within = std::abs(one.by) <= *one.tolerance;
        all.values.push_back(std::move(one));
    }
    for (const Quantity& quantity : old.quantities)
        if (!now.find(quantity.id)) all.only_old.push_back(quantity.id);
    all.covariance = difference_covariance(old, by_inputs_of(old, all.values), now, by_inputs_of(now, all.values));
    for (std::size_t i = 0; i < all.values.size(); ++i) {
        Difference& one = all.values[i];
        one.u = std::sqrt(all.covariance(static_cast<Index>(i), static_cast<Index>(i)));
        one.changed = std::abs(one.by) > beyond_noise * one.u;
    }
    for (const Named& one : instruments) say_instrument(one, old, now, all);
    return all;
}

}  // namespace shimwise
