#include "workshop/card_walk.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/units.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "workshop/choose/spread.hpp"

namespace shimwise {
namespace {

constexpr double standard_deviations = 2.0;

double squared(double x) { return x * x; }

}  // namespace

CardWalk::CardWalk(const Car& car, const Measured& measured, double model_share)
    : measured_(measured), model_share_(model_share), held_(car, measured), now_(car) {
    for (std::size_t c = 0; c < corner_count; ++c) {
        before_[c] = as_measured(measured, car.corners[c]);
        amounts_mm_[c] = car.corners[c].amounts_mm();
        for (std::size_t o = 0; o < output_count; ++o)
            ids_.emplace_back(static_cast<CornerId>(c), static_cast<Output>(o));
    }
    for (const Quantity& quantity : measured.quantities) ids_.push_back(quantity.id);
    std::erase_if(ids_, [this](const ValueId& id) { return !held_.has(id); });
    missed2_.assign(ids_.size(), 0.0);
    const auto state = held_.state(amounts_mm_);
    stands_ = state.has_value();
    for (const ValueId& id : ids_) was_.push_back(stands_ ? value(state->values, id) : 0.0);
    is_ = was_;
}

void CardWalk::turn(const PlannedSetting& planned) {
    Adjuster& adjuster = now_[planned.corner].adjusters[planned.adjuster];
    const Adjuster before = adjuster;
    if (Thread* thread = std::get_if<Thread>(&adjuster.setting))
        thread->now_turns = planned.after;
    else
        std::get<Stack>(adjuster.setting).fitted_mm = planned.shims.shims_mm;
    double& amount_mm = amounts_mm_[index(planned.corner)][planned.adjuster];
    const double by_mm = adjuster.amount_mm() - amount_mm;
    amount_mm += by_mm;
    const auto state = held_.state(amounts_mm_);
    stands_ = state.has_value();
    if (!stands_) return;
    const double missed_mm2 = setting_variance_mm2(before, moved(before, adjuster));
    for (std::size_t i = 0; i < ids_.size(); ++i) {
        const double then = value(state->values, ids_[i]);
        const double by = then - is_[i];
        if (by_mm != 0.0) missed2_[i] += squared(by / by_mm) * missed_mm2 + squared(model_share_ * by);
        is_[i] = then;
    }
}

std::size_t CardWalk::place(const ValueId& id) const {
    return static_cast<std::size_t>(std::find(ids_.begin(), ids_.end(), id) - ids_.begin());
}

std::optional<double> CardWalk::change(const ValueId& id) const {
    const std::size_t i = place(id);
    if (i == ids_.size() || !stands_) return std::nullopt;
    return is_[i] - was_[i];
}

std::optional<double> CardWalk::deviation(const ValueId& id) const {
    const auto read = measured_.find(id);
    if (!read) return std::nullopt;
    const std::size_t i = place(id);
    return std::sqrt(anew_twice(measured_, *read, *read) + (i < ids_.size() ? missed2_[i] : 0.0));
}

std::vector<CardReading> CardWalk::at_wheel(std::size_t c) const {
    std::vector<CardReading> readings;
    if (!stands_) return readings;
    const auto id = static_cast<CornerId>(c);
    Outputs<double> change_of{};
    for (const Output output : {Output::toe, Output::camber})
        change_of[index(output)] = change({id, output}).value_or(0.0);
    const Expectation expected = expectation(measured_, before_[c], now_.corners[c], change_of);
    const std::string at(corner_names[c]);
    if (expected.toe_deg) {
        const double mm_per_deg = now_.corners[c].wheel.flag_span_mm * rad_per_deg *
                                  std::cos((*expected.toe_deg + measured_.string_angle_deg[c]) * rad_per_deg);
        readings.push_back({ReadingOf::flags, at, *expected.flag_difference_mm,
                            standard_deviations * mm_per_deg * deviation({id, Output::toe}).value_or(0.0)});
    }
    if (expected.camber_deg)
        readings.push_back({ReadingOf::gauge, at, *expected.gauge_deg,
                            standard_deviations * deviation({id, Output::camber}).value_or(0.0)});
    return readings;
}

std::vector<CardReading> CardWalk::of_kind(ReadingOf of) const {
    std::vector<CardReading> readings;
    for (const Quantity& quantity : measured_.quantities) {
        const ValueId& id = quantity.id;
        const bool height = id.of == ValueId::Of::ride_height;
        if (of == ReadingOf::height ? !height : !id.is(CornerLoad::weight)) continue;
        const auto by = change(id);
        if (!by) continue;
        readings.push_back({of, height ? id.point : std::string(corner_names[id.corner]), *measured_.value(id) + *by,
                            standard_deviations * deviation(id).value_or(0.0)});
    }
    return readings;
}

std::vector<CardReading> CardWalk::heights() const { return of_kind(ReadingOf::height); }
std::vector<CardReading> CardWalk::scales() const { return of_kind(ReadingOf::scale); }

std::vector<CardReading> CardWalk::all() const {
    std::vector<CardReading> readings;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (CardReading& one : at_wheel(c)) readings.push_back(std::move(one));
    for (CardReading& one : heights()) readings.push_back(std::move(one));
    for (CardReading& one : scales()) readings.push_back(std::move(one));
    return readings;
}

}  // namespace shimwise
