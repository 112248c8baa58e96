// The pose of a corner for what is held.
#pragma once

#include <string>

#include "shimwise/motion/hold.hpp"
#include "shimwise/units.hpp"

namespace shimwise {

/// A pose with the half tangent it was found at. `met`: the held value is met there.
template <class T>
struct Position {
    T half_tan;
    Pose<T> pose;
    decltype(T() < T()) met;
    T next;  // one more Newton step: where that is all that is missing, no pose need be made to see it
};

/// Newton on the half tangent for the held value. A step that leaves the assembly, or lands where the value has turned
/// back, is halved; a lane that has arrived is frozen, so its bits do not depend on its neighbours. Done where the
/// value is met to `enough_mm`.
template <class T, class U = double>
Position<T> position(const Linkage<T>& l, const HoldAlong<U>& hold, const T& value, const T& start,
                     double enough_mm = tolerances::held_mm) {
    T half_tan = start;
    T last_closed = start;
    T way(0.0);
    for (int i = 0;; ++i) {
        const Pose<T> p = pose(l, half_tan);
        const HeldValue<T> h = held_value(l, p, hold);
        const T error = value - h.value;
        if (i == 0) way = h.slope;
        const auto closes = both(h.room > T(0.0), h.slope * way > T(0.0));
        const auto met = both(closes, magnitude(error) < T(enough_mm));
        const T step = error / h.slope * ((square(half_tan) + 1.0) * 0.5);
        const T next = select(closes, half_tan + step, (half_tan + last_closed) * 0.5);
        if (all(met) || i == tolerances::newton_steps) return {half_tan, p, met, next};
        last_closed = select(closes, half_tan, last_closed);
        half_tan = select(met, half_tan, next);
    }
}

enum class Status { ok, upper_wishbone_open, track_rod_open, pushrod_open, out_of_reach };

/// A solved corner, or why it can not be: the loop that does not close, or the held value's nearest reachable one.
struct Solved {
    Status status = Status::ok;
    Status limit = Status::ok;  // out of reach: the loop that opens there; ok where the value itself turns back
    double short_by_mm = 0.0;   // of the open loop (+ = its link must grow), or of the held value
    double lowest = 0.0;        // range of the held value, where it is out of reach
    double highest = 0.0;
    double half_tan = 0.0;
    Pose<double> pose;
    Strut<double> strut;
};

/// Position with the search that Newton alone can not give: from `start` (0: as drawn), then bracketed within the
/// range that assembles.
Solved solve(const Linkage<double>& l, const Hold& hold, double value, double start = 0.0);

/// What of a corner does not close.
const char* in_words(Status status, const Geometry& corner);

/// One sentence for every status but ok, with the amount; where the wheel is held, as travel from its drawn height.
std::string in_words(const Solved& solved, const Linkage<double>& l, const Hold& hold);

/// All joints of a corner at a pose, by Point; points that the corner lacks are at the origin.
std::array<Vec3<double>, point_count> joints(const Parts<double>& parts, const Linkage<double>& l,
                                             const Pose<double>& p, const Strut<double>& s);

}  // namespace shimwise
