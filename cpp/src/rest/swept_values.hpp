// What the values of a sweep's columns mean.
#pragma once

#include <algorithm>

#include "shimwise/model/limits.hpp"
#include "shimwise/motion/hold.hpp"
#include "shimwise/rest/sweep.hpp"

namespace shimwise {

/// By a state's value of a column, in the unit of its input.
inline double setting(const SweptColumn& column, double value) {
    return column.change ? column.input.now + value : value;
}

/// How far a column moves its point from where the car as given has it.
inline double moves_by_mm(const SweptColumn& column, double value) {
    return column.change ? value : value - column.input.now;
}

inline Hold corner_hold(SweepHold hold) {
    return {.what = hold == SweepHold::wheel ? Held::wheel : hold == SweepHold::contact ? Held::contact : Held::spring};
}

inline bool sets(const CarSweep& sweep, SweptInput::Of of) {
    return std::ranges::any_of(sweep.columns, [of](const SweptColumn& column) { return column.input.of == of; });
}

}  // namespace shimwise
