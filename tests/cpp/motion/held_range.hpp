// A turned corner and a range of what is held that it can reach.
#pragma once

#include "motion/corners.hpp"

namespace corners {

/// From 15 mm of travel below the drawn height to 15 mm above it, on a tilted ground.
struct HeldRange {
    Setup s;
    Hold hold;
    Frame frame;
    double low = 0.0, high = 0.0;

    HeldRange(const Kind& kind, int seed, Held held) : s(turned(kind, seed)), frame(tilted(kind.left)) {
        hold = {held, frame.z};
        low = present_value(s, hold, -15.0);
        high = present_value(s, hold, 15.0);
        if (low > high) std::swap(low, high);
    }
    std::vector<double> values(int count) const {
        std::vector<double> v;
        for (int i = 0; i < count; ++i) v.push_back(low + (high - low) * i / (count - 1));
        return v;
    }
};

}  // namespace corners
