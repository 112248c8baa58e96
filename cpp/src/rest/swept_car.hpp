// A car that a sweep sets from state to state. One thread has one.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "shimwise/motion/setup.hpp"
#include "shimwise/rest/solve.hpp"
#include "shimwise/rest/sweep.hpp"

namespace shimwise {

class SweptCar {
public:
    /// Precondition: the sweep outlives it. Throws OutOfReach where the car cannot be read for it.
    explicit SweptCar(const CarSweep& sweep);
    SweptCar(const SweptCar&) = delete;  // its linkages refer to its own geometries
    SweptCar& operator=(const SweptCar&) = delete;

    /// The outputs with the columns at these values, or why not. Keeps nothing from one state to the next but what
    /// depends on the car alone.
    Shortfall at(const std::vector<double>& values, std::vector<double>& outputs);

private:
    struct HeldAt {
        Shortfall shortfall;
        double value = 0.0;
    };

    bool moves_points() const;
    void prepare(const Car& car);
    void set(const std::vector<double>& values);
    Shortfall corner_outputs(std::size_t c, std::vector<double>& outputs);
    HeldAt held_at(std::size_t c, const Setup& now) const;
    void rest_outputs_at(std::vector<double>& outputs) const;

    const CarSweep& sweep_;
    const Hold hold_;
    std::array<bool, corner_count> wanted_{}, curves_wanted_{}, wheelbase_wanted_{};
    std::vector<ValueId> values_at_rest_;
    std::array<Setup, corner_count> given_;  // as the car given is set, and
    std::array<Linkage<double>, corner_count> given_linkage_;

    std::optional<Car> moved_;  // with the points of the state
    std::array<Setup, corner_count> setups_;
    RestModel model_;
    double travel_mm_ = 0.0;
    PadHeights pads_mm_{};
};

}  // namespace shimwise
