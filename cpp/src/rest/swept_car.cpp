#include "rest/swept_car.hpp"

#include <cmath>
#include <utility>

#include "motion/curve_states.hpp"
#include "motion/drawing.hpp"
#include "rest/drawn_loads.hpp"
#include "rest/swept_values.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/motion/closing.hpp"

namespace shimwise {
namespace {

using Of = SweptInput::Of;

constexpr std::size_t most_known_travels = 4096;  // of a grid's; drawn ones are all different

Shortfall at_corner_of(std::size_t c, Shortfall by) {
    by.corner = static_cast<CornerId>(c);
    return by;
}

}  // namespace

SweptCar::SweptCar(const CarSweep& sweep)
    : SweptCar(sweep, sweep.hold == SweepHold::rest ? rest_model(sweep.car) : RestModel()) {}

SweptCar::SweptCar(const CarSweep& sweep, const SweptCar& of_the_same) : SweptCar(sweep, of_the_same.model_) {}

SweptCar::SweptCar(const CarSweep& sweep, RestModel model)
    : sweep_(sweep), hold_(corner_hold(sweep.hold)), moves_points_(sets(sweep, Of::point)), model_(std::move(model)) {
    for (const SweptColumn& column : sweep.columns)
        if (column.input.of == Of::point) moved_[column.input.corner] = true;
    if (sweep.hold == SweepHold::rest) {
        finds_loads_ = !loads_are_given(sweep.car);
        const std::vector<ValueId> all = rest_outputs(model_);
        for (const SweptOutput& output : sweep.outputs) values_at_rest_.push_back(all[output.row]);
    } else {
        for (const SweptOutput& output : sweep.outputs) {
            wanted_[output.corner] = true;
            if (output.row >= output_count) curves_wanted_[output.corner] = true;
            if (output.row == output_count + index(Curve::wheelbase_change)) wheelbase_wanted_[output.corner] = true;
        }
    }
    for (std::size_t c = 0; c < corner_count && sweep.hold != SweepHold::rest; ++c) {
        given_[c] = setup(sweep.car.corners[c]);
        given_linkage_[c] = linkage(given_[c].geometry, given_[c].parts());
    }
    setups_ = given_;
    if (moves_points_) car_ = sweep.car;
}

/// At rest the model's, where that needs nothing to be found.
Car& SweptCar::with_points_put() { return sweep_.hold == SweepHold::rest && !finds_loads_ ? model_.car : car_; }

bool SweptCar::put_points(const std::vector<double>& values) {
    const bool drawn = sweep_.moved == Moved::drawn;
    Car& car = with_points_put();
    for (std::size_t c = 0; c < corner_count; ++c) {
        if (!moved_[c]) continue;
        car.corners[c].points = sweep_.car.corners[c].points;
        car.corners[c].built_off_mm = sweep_.car.corners[c].built_off_mm;
    }
    bool finite = true;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const SweptInput& input = sweep_.columns[i].input;
        if (input.of != Of::point) continue;
        Corner& corner = car.corners[input.corner];
        double& at = coordinate(drawn ? *corner.points[input.index] : corner.built_off_mm[input.index], input.axis);
        at = at + moves_by_mm(sweep_.columns[i], values[i]);
        finite = finite && std::isfinite(at);
    }
    return finite && (!drawn || check_points(car, moved_).empty());
}

void SweptCar::prepare() {
    if (sweep_.hold == SweepHold::rest) {
        if (finds_loads_)
            model_ = rest_model(car_);
        else
            read_car(model_);
        return;
    }
    for (std::size_t c = 0; c < corner_count; ++c)
        if (moved_[c] && wanted_[c]) setups_[c].geometry = geometry(car_.corners[c]);
}

void SweptCar::set(const std::vector<double>& values) {
    const bool rests = sweep_.hold == SweepHold::rest;
    std::array<Setup, corner_count>& setups = rests ? model_.setups : setups_;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const SweptInput& input = sweep_.columns[i].input;
        const double set_to = setting(sweep_.columns[i], values[i]);
        switch (input.of) {
            case Of::adjuster:
                if (rests || wanted_[input.corner])
                    setups[input.corner].amounts_mm[input.index] =
                        amount_mm(sweep_.car.corners[input.corner].adjusters[input.index], set_to);
                break;
            case Of::travel:
                travel_mm_ = set_to;
                break;
            case Of::rack:
                for (Setup& one : setups) one.rack_mm = set_to;
                break;
            case Of::pad:
                pads_mm_[input.corner] = set_to;
                break;
            case Of::ballast:
                model_.weights[input.index + 1].kg = set_to;
                break;
            case Of::point:
                break;
        }
    }
}

/// Sets a state; whether a real car can be so. Throws OutOfReach.
bool SweptCar::set_up(const std::vector<double>& values) {
    if (moves_points_) {
        if (!put_points(values)) return false;
        prepare();
    }
    set(values);
    return true;
}

const RestModel* SweptCar::model_at(const std::vector<double>& values) {
    try {
        if (!set_up(values)) return nullptr;
        check_pads(pads_mm_);
        return &model_;
    } catch (const OutOfReach&) {
        return nullptr;
    } catch (const InputError&) {
        return nullptr;
    }
}

Shortfall SweptCar::at(const std::vector<double>& values, std::vector<double>& outputs) {
    try {
        if (!set_up(values)) return {.what = Obstacle::no_real_car};
        if (sweep_.hold == SweepHold::rest) {
            outputs = row(rest(model_, pads_mm_).values, values_at_rest_);
            return {};
        }
        for (std::size_t c = 0; c < corner_count; ++c)
            if (wanted_[c])
                if (const Shortfall by = corner_outputs(c, outputs); by.what != Obstacle::none) return by;
        return {};
    } catch (const Unreached& failure) {
        return failure.shortfall;
    } catch (const OutOfReach&) {
        return {.what = Obstacle::no_rest};
    } catch (const InputError&) {
        return {.what = Obstacle::no_real_car};
    }
}

SweptCar::HeldAt SweptCar::held_as_given(std::size_t c, double travel_mm) {
    auto& known = held_as_given_[c];
    if (const auto found = known.find(travel_mm); found != known.end()) return found->second;
    const Linkage<double>& l = given_linkage_[c];
    const Solved solved = solve(l, {.what = Held::wheel}, given_[c].geometry.drawn.wheel_height_mm + travel_mm);
    const HeldAt held = {shortfall(solved),
                         solved.status == Status::ok ? held_value(l, solved.pose, hold_).value : 0.0};
    if (known.size() == most_known_travels) known.clear();
    known.emplace(travel_mm, held);
    return held;
}

Shortfall SweptCar::corner_outputs(std::size_t c, std::vector<double>& outputs) {
    const Setup& now = setups_[c];
    const HeldAt held = hold_.what == Held::wheel ? HeldAt{{}, now.geometry.drawn.wheel_height_mm + travel_mm_}
                                                  : held_as_given(c, travel_mm_);
    if (held.shortfall.what != Obstacle::none) return at_corner_of(c, held.shortfall);
    const auto put = [&](const auto& row) {
        for (std::size_t o = 0; o < outputs.size(); ++o)
            if (sweep_.outputs[o].corner == c) outputs[o] = row[sweep_.outputs[o].row];
    };
    if (!curves_wanted_[c]) {
        const Linkage<double> l = linkage(now.geometry, now.parts());
        const Solved solved = solve(l, hold_, held.value);
        if (solved.status == Status::ok) put(shimwise::outputs(l, solved.pose, solved.strut, Frame{}));
        return at_corner_of(c, shortfall(solved));
    }
    const Corner& corner = (moves_points_ ? car_ : sweep_.car).corners[c];
    double contact_x_mm = 0.0;
    if (wheelbase_wanted_[c]) {
        Setup centred = now;
        centred.rack_mm = 0.0;
        const CurveStates states(corner, std::move(centred));
        const Solved solved = solve(states.plain(), {.what = Held::wheel}, now.geometry.drawn.wheel_height_mm);
        if (solved.status != Status::ok) return at_corner_of(c, shortfall(solved));
        contact_x_mm = states.contact_x(solved);
    }
    const CurveStates states(corner, now);
    const Solved solved = solve(states.plain(), hold_, held.value);
    if (solved.status == Status::ok) put(states.row(solved, contact_x_mm));
    return at_corner_of(c, shortfall(solved));
}

}  // namespace shimwise
