// A car that a sweep sets from state to state. One thread has one.
#pragma once

#include <array>
#include <unordered_map>
#include <vector>

#include "shimwise/motion/setup.hpp"
#include "shimwise/rest/solve.hpp"
#include "shimwise/rest/sweep.hpp"

namespace shimwise {

class SweptCar {
public:
    /// Precondition: the sweep outlives it. Throws OutOfReach where the car cannot be read for it.
    explicit SweptCar(const CarSweep& sweep);
    /// The same again. Precondition: `of_the_same` has not been set to a state yet.
    SweptCar(const CarSweep& sweep, const SweptCar& of_the_same);
    SweptCar(const SweptCar&) = delete;  // its linkages refer to its own geometries
    SweptCar& operator=(const SweptCar&) = delete;

    /// The outputs with the columns at these values, or why not. Keeps nothing from one state to the next but what
    /// depends on the car alone.
    Shortfall at(const std::vector<double>& values, std::vector<double>& outputs);

    /// The car at rest is not sought: what it would be sought of, and its pads. Nothing where that cannot be.
    const RestModel* model_at(const std::vector<double>& values);
    const PadHeights& pads_mm() const { return pads_mm_; }
    const std::vector<ValueId>& values_at_rest() const { return values_at_rest_; }

    /// Puts the points of a state where they are; whether a real car can be so.
    bool put_points(const std::vector<double>& values);

    struct HeldAt {
        Shortfall shortfall;
        double value = 0.0;
    };
    /// What the car as given holds at a wheel travel, its rack centred: of its contact or its spring.
    HeldAt held_as_given(std::size_t corner, double travel_mm);

private:
    SweptCar(const CarSweep& sweep, RestModel model);
    Car& with_points_put();
    bool set_up(const std::vector<double>& values);
    void prepare();
    void set(const std::vector<double>& values);
    Shortfall corner_outputs(std::size_t c, std::vector<double>& outputs);

    const CarSweep& sweep_;
    const Hold hold_;
    const bool moves_points_;
    bool finds_loads_ = false;  // anew as points move
    std::array<bool, corner_count> moved_{}, wanted_{}, curves_wanted_{}, wheelbase_wanted_{};
    std::vector<ValueId> values_at_rest_;
    std::array<Setup, corner_count> given_;  // as the car given is set, and
    std::array<Linkage<double>, corner_count> given_linkage_;
    std::array<std::unordered_map<double, HeldAt>, corner_count> held_as_given_;  // by travel

    Car car_;  // with the points of the state, where it is not the model's
    std::array<Setup, corner_count> setups_;
    RestModel model_;
    double travel_mm_ = 0.0;
    PadHeights pads_mm_{};
};

}  // namespace shimwise
