// A table half tangent(held value) made once per geometry: from its start one evaluation is enough, in any order.
#pragma once

#include <vector>

#include "shimwise/motion/position.hpp"

namespace shimwise {

/// Cubic in each of `tolerances::start_cells` cells between two held values.
class Starts {
public:
    /// Precondition: every value from `low` to `high` can be reached; `usable` says whether that was so.
    Starts(const Linkage<double>& l, const Hold& hold, double low, double high);

    bool usable() const { return usable_; }
    /// Half tangent for a value between low and high, to about 1e-12.
    double operator()(double value) const;

private:
    struct Node {
        double half_tan = 0.0;
        double slope = 0.0;  // per cell
    };
    double low_ = 0.0;
    double cells_per_mm_ = 0.0;
    bool usable_ = true;
    std::vector<Node> nodes_;
};

}  // namespace shimwise
