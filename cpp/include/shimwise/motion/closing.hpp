// Link by link, the smallest change of its length with which a corner that does not close as drawn closes.
#pragma once

#include <string>
#include <vector>

#include "shimwise/motion/position.hpp"
#include "shimwise/motion/setup.hpp"
#include "shimwise/motion/unreached.hpp"

namespace shimwise {

struct LinkChange {
    Length link = Length::track_rod;
    double by_mm = 0.0;  // + = longer
};

/// For each leg and rod alone the smallest change, in whole 0.01 mm, with which the held value is met: 0.01 mm less
/// does not do. A link that cannot do it is left out; the smallest change comes first.
std::vector<LinkChange> closing_changes(const Setup& setup, const Hold& hold, double value);

/// The same as a table holds it; of no corner yet.
Shortfall shortfall(const Solved& solved);

/// Why a corner cannot be so: `in_words`, and of one whose loops are open as drawn what closes it.
std::string refusal(const Setup& setup, const Solved& solved, const Hold& hold, double value);

/// `solve` for callers who can not go on without: throws Unreached with `refusal`. `l` is the setup's linkage.
Solved solve_or_throw(const Setup& setup, const Linkage<double>& l, const Hold& hold, double value, double start = 0.0);

}  // namespace shimwise
