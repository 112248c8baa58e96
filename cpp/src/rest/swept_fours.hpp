// Four states of a sweep at once, each with the bits that it has by itself.
#pragma once

#include <memory>
#include <vector>

#include "motion/kernel.hpp"
#include "rest/swept_car.hpp"

namespace shimwise {

inline constexpr unsigned all_left = 15U;

class SweptFours {
public:
    virtual ~SweptFours() = default;
    /// Of `values[column][state]`, into `outputs[output][state]`. Gives by bits the states that are left to be worked
    /// out one by one.
    virtual unsigned at(const std::vector<FourNumbers>& values, std::vector<FourNumbers>& outputs) = 0;
};

/// Nothing for sweeps with curves. Precondition: the sweep and the car of single states outlive it.
std::unique_ptr<SweptFours> swept_fours(const CarSweep& sweep, SweptCar& single);

}  // namespace shimwise
