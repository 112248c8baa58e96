#include "workshop/choose/held_car.hpp"

#include <algorithm>

#include "shimwise/error.hpp"
#include "workshop/measure/by_model.hpp"

namespace shimwise {
namespace {

constexpr double rocking_step_mm = 0.05;

ContactSet contacts_in(const RestState& state) {
    ContactSet contacts;
    for (std::size_t c = 0; c < corner_count; ++c) {
        contacts.push_back(state.corners[c].on_droop_stop);
        contacts.push_back(state.values.at(static_cast<CornerId>(c), CornerLoad::rubber_load) != 0.0);
    }
    contacts.push_back(state.values.at(CarOutput::front_third_load) != 0.0);
    contacts.push_back(state.values.at(CarOutput::rear_third_load) != 0.0);
    return contacts;
}

/// What follows from the corners, where each stands by itself.
void add_sums(RestValues<double>& values) {
    for (std::size_t o = 0; o < at_rest_count; ++o) {
        const ValueInfo& sum = car_output_list[o];
        values.car[o] = sum_over_wheels(sum, [&](std::size_t c) { return values.corners[c][index(sum.sum_of)]; });
    }
}

}  // namespace

HeldCar::HeldCar(const Car& car, const Measured& measured)
    : ground_(measured.ground),
      pads_mm_(measured.given.pad_height_mm.value_or(PadHeights{})),
      held_(measured.struts_solid ? CarHeld::spring : CarHeld::rest) {
    try {
        const Car stood = as_it_stood(car, measured);
        model_ = model_as_read(measured, rest_model(stood), stood);
        struts_mm_ = drawn_struts_mm(model_.car);
        variables_ = rest_variables(model_);
        outputs_ = held_ == CarHeld::spring ? solid_outputs(model_) : rest_outputs(model_);
        values_on(measured, model_, pads_mm_);
    } catch (const OutOfReach&) {
        held_ = CarHeld::contact;
        for (std::size_t c = 0; c < corner_count; ++c) model_.setups[c] = setup(car.corners[c]);
        outputs_.clear();
        for (std::size_t c = 0; c < corner_count; ++c)
            for (std::size_t o = 0; o < output_count; ++o)
                outputs_.emplace_back(static_cast<CornerId>(c), static_cast<Output>(o));
        for (std::size_t o = 0; o < at_rest_count; ++o)
            if (sums_wheels(car_output_list[o])) outputs_.emplace_back(static_cast<CarOutput>(o));
        for (const Corner& corner : car.corners) outputs_on(ground_, corner);
    }
}

bool HeldCar::has(const ValueId& id) const {
    if (sums_wheels(info(id))) return true;
    return std::find(outputs_.begin(), outputs_.end(), id) != outputs_.end();
}

void HeldCar::set(const Amounts& amounts_mm) {
    for (std::size_t c = 0; c < corner_count; ++c) model_.setups[c].amounts_mm = amounts_mm[c];
}

std::optional<HeldCar::State> HeldCar::by_contacts() const {
    State state;
    for (std::size_t c = 0; c < corner_count; ++c)
        state.values.corners[c] = outputs_at(model_.setups[c], ground_.hold(), ground_.held_value(), ground_.frame);
    add_sums(state.values);
    return state;
}

std::optional<HeldCar::State> HeldCar::state(const Amounts& amounts_mm) {
    set(amounts_mm);
    try {
        if (held_ == CarHeld::contact) return by_contacts();
        State state;
        if (held_ == CarHeld::spring) {
            SolidState solid = on_solid_struts(model_, pads_mm_, struts_mm_);
            state.stands = std::move(solid.stands);
            state.rocking_mm = solid.rocking_mm;
        } else {
            state.stands = rest(model_, pads_mm_);
            state.contacts = contacts_in(state.stands);
        }
        state.values = state.stands.values;
        return state;
    } catch (const OutOfReach&) {
        return std::nullopt;
    }
}

Eigen::MatrixXd HeldCar::per_mm(const Amounts& amounts_mm, const State& at, const std::vector<ValueId>& ids,
                                const std::vector<AdjusterPlace>& places) {
    set(amounts_mm);
    const auto rows = static_cast<Eigen::Index>(ids.size());
    Eigen::MatrixXd per_mm = Eigen::MatrixXd::Zero(rows, static_cast<Eigen::Index>(places.size()));
    if (held_ == CarHeld::contact) {
        std::array<Rates, corner_count> of;
        for (std::size_t c = 0; c < corner_count; ++c)
            of[c] = rates(model_.setups[c], ground_.hold(), ground_.held_value(), ground_.frame);
        for (std::size_t p = 0; p < places.size(); ++p) {
            RestValues<double> values;
            const std::size_t c = index(places[p].corner);
            values.corners[c] = of[c].per_mm[places[p].adjuster];
            add_sums(values);
            for (Eigen::Index i = 0; i < rows; ++i)
                per_mm(i, static_cast<Eigen::Index>(p)) = value(values, ids[static_cast<std::size_t>(i)]);
        }
        return per_mm;
    }
    const Eigen::MatrixXd all = held_ == CarHeld::spring ? solid_rates(model_, at.stands, pads_mm_, ids, variables_)
                                                         : rest_rates(model_, at.stands, pads_mm_, ids, variables_);
    for (std::size_t p = 0; p < places.size(); ++p)
        for (std::size_t v = 0; v < variables_.size(); ++v)
            if (variables_[v].of == RestVariable::Of::adjuster && variables_[v].corner == index(places[p].corner) &&
                variables_[v].index == places[p].adjuster)
                per_mm.col(static_cast<Eigen::Index>(p)) = all.col(static_cast<Eigen::Index>(v));
    return per_mm;
}

std::optional<Eigen::RowVectorXd> HeldCar::rocking_per_mm(const Amounts& amounts_mm,
                                                          const std::vector<AdjusterPlace>& places) {
    if (held_ != CarHeld::spring) return std::nullopt;
    Eigen::RowVectorXd per_mm = Eigen::RowVectorXd::Zero(static_cast<Eigen::Index>(places.size()));
    for (std::size_t p = 0; p < places.size(); ++p) {
        const auto moved = [&](double by_mm) {
            Amounts amounts = amounts_mm;
            amounts[index(places[p].corner)][places[p].adjuster] += by_mm;
            return state(amounts);
        };
        const auto less = moved(-rocking_step_mm), more = moved(rocking_step_mm);
        if (less && more)
            per_mm(static_cast<Eigen::Index>(p)) = (more->rocking_mm - less->rocking_mm) / (2.0 * rocking_step_mm);
    }
    return per_mm;
}

}  // namespace shimwise
