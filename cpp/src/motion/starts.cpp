#include "shimwise/motion/starts.hpp"

#include <algorithm>

namespace shimwise {

Starts::Starts(const Linkage<double>& l, const Hold& hold, double low, double high) : low_(low) {
    const double cell = std::max((high - low) / tolerances::start_cells, 1e-9);
    cells_per_mm_ = 1.0 / cell;
    nodes_.reserve(tolerances::start_cells + 1);
    double start = 0.0;
    for (int i = 0; i <= tolerances::start_cells && usable_; ++i) {
        const Solved s = solve(l, hold, low + i * cell, start);
        usable_ = s.status == Status::ok;
        const double slope = held_value(l, s.pose, hold).slope;
        nodes_.push_back({s.half_tan, 0.5 * (1.0 + s.half_tan * s.half_tan) / slope * cell});
        start = s.half_tan;
    }
}

double Starts::operator()(double value) const {
    const double place = (value - low_) * cells_per_mm_;
    const int cell = std::clamp(static_cast<int>(place), 0, tolerances::start_cells - 1);
    const double x = place - cell;
    const Node& a = nodes_[static_cast<std::size_t>(cell)];
    const Node& b = nodes_[static_cast<std::size_t>(cell) + 1];
    const double rise = b.half_tan - a.half_tan;
    return a.half_tan +
           x * (a.slope + x * ((3.0 * rise - 2.0 * a.slope - b.slope) + x * (a.slope + b.slope - 2.0 * rise)));
}

}  // namespace shimwise
