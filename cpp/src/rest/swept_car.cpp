#include "rest/swept_car.hpp"

#include <utility>

#include "motion/curve_states.hpp"
#include "shimwise/error.hpp"
#include "shimwise/motion/closing.hpp"

namespace shimwise {
namespace {

using Of = SweptInput::Of;

/// By a state's value of a column, in the unit of its input.
double setting(const SweptColumn& column, double value) { return column.change ? column.input.now + value : value; }

double amount_mm(const Adjuster& adjuster, double setting) {
    if (const Thread* thread = adjuster.thread()) return setting * thread->lead_mm();
    return setting - adjuster.stack()->drawn_with_mm;
}

Vec3<double> along_axis(std::size_t axis, double by_mm) {
    return {axis == 0 ? by_mm : 0.0, axis == 1 ? by_mm : 0.0, axis == 2 ? by_mm : 0.0};
}

Hold corner_hold(SweepHold hold) {
    return {.what = hold == SweepHold::wheel ? Held::wheel : hold == SweepHold::contact ? Held::contact : Held::spring};
}

Shortfall at_corner_of(std::size_t c, Shortfall by) {
    by.corner = static_cast<CornerId>(c);
    return by;
}

}  // namespace

SweptCar::SweptCar(const CarSweep& sweep) : sweep_(sweep), hold_(corner_hold(sweep.hold)) {
    if (sweep.hold == SweepHold::rest) {
        const RestModel given = rest_model(sweep.car);
        const std::vector<ValueId> all = rest_outputs(given);
        for (const SweptOutput& output : sweep.outputs) values_at_rest_.push_back(all[output.row]);
    } else {
        for (const SweptOutput& output : sweep.outputs) {
            wanted_[output.corner] = true;
            if (output.row >= output_count) curves_wanted_[output.corner] = true;
            if (output.row == output_count + index(Curve::wheelbase_change)) wheelbase_wanted_[output.corner] = true;
        }
    }
    for (std::size_t c = 0; c < corner_count; ++c) {
        given_[c] = setup(sweep.car.corners[c]);
        given_linkage_[c] = linkage(given_[c].geometry, given_[c].parts());
    }
    if (!moves_points()) prepare(sweep.car);
}

bool SweptCar::moves_points() const {
    for (const SweptColumn& column : sweep_.columns)
        if (column.input.of == Of::point) return true;
    return false;
}

void SweptCar::prepare(const Car& car) {
    if (sweep_.hold == SweepHold::rest) {
        model_ = rest_model(car);
        return;
    }
    for (std::size_t c = 0; c < corner_count; ++c)
        if (wanted_[c]) setups_[c] = setup(car.corners[c]);
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

Shortfall SweptCar::at(const std::vector<double>& values, std::vector<double>& outputs) {
    try {
        if (moves_points()) {
            std::vector<PointMove> moves;
            for (std::size_t i = 0; i < values.size(); ++i) {
                const SweptColumn& column = sweep_.columns[i];
                const SweptInput& input = column.input;
                if (input.of != Of::point) continue;
                const double by_mm = column.change ? values[i] : values[i] - input.now;
                moves.push_back({static_cast<CornerId>(input.corner), static_cast<Point>(input.index),
                                 along_axis(input.axis, by_mm)});
            }
            moved_ = with_points_moved(sweep_.car, moves, sweep_.moved);
            prepare(*moved_);
        }
        set(values);
        if (sweep_.hold == SweepHold::rest) {
            rest_outputs_at(outputs);
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

void SweptCar::rest_outputs_at(std::vector<double>& outputs) const {
    outputs = row(rest(model_, pads_mm_).values, values_at_rest_);
}

SweptCar::HeldAt SweptCar::held_at(std::size_t c, const Setup& now) const {
    if (hold_.what == Held::wheel) return {{}, now.geometry.wheel_height_mm + travel_mm_};
    const Linkage<double>& l = given_linkage_[c];
    const Solved solved = solve(l, {.what = Held::wheel}, given_[c].geometry.wheel_height_mm + travel_mm_);
    return {shortfall(solved), solved.status == Status::ok ? held_value(l, solved.pose, hold_).value : 0.0};
}

Shortfall SweptCar::corner_outputs(std::size_t c, std::vector<double>& outputs) {
    const Setup& now = setups_[c];
    const HeldAt held = held_at(c, now);
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
    const Corner& corner = (moved_ ? *moved_ : sweep_.car).corners[c];
    double contact_x_mm = 0.0;
    if (wheelbase_wanted_[c]) {
        Setup centred = now;
        centred.rack_mm = 0.0;
        const CurveStates states(corner, std::move(centred));
        const Solved solved = solve(states.plain(), {.what = Held::wheel}, now.geometry.wheel_height_mm);
        if (solved.status != Status::ok) return at_corner_of(c, shortfall(solved));
        contact_x_mm = states.contact_x(solved);
    }
    const CurveStates states(corner, now);
    const Solved solved = solve(states.plain(), hold_, held.value);
    if (solved.status == Status::ok) put(states.row(solved, contact_x_mm));
    return at_corner_of(c, shortfall(solved));
}

}  // namespace shimwise
