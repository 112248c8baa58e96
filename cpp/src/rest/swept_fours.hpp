// Four states of a sweep of corners at once, each with the bits that it has by itself.
#pragma once

#include <array>
#include <vector>

#include "motion/kernel.hpp"
#include "rest/swept_car.hpp"

namespace shimwise {

class SweptFours {
public:
    /// Whether a sweep's states can be worked out so: all but curves and cars at rest.
    static bool can(const CarSweep& sweep);
    /// Precondition: the sweep and the car of single states outlive it.
    SweptFours(const CarSweep& sweep, SweptCar& single);

    /// Of `values[column][state]`, into `outputs[output][state]`. Gives by bits the states that it leaves to `single`.
    unsigned at(const std::vector<FourNumbers>& values, std::vector<FourNumbers>& outputs);

private:
    struct OfCorner {
        bool wanted = false;
        std::vector<FourNumbers> amounts_mm;
        DrawnPoints<double> points;
        std::vector<FourMoves> moves;
        Geometry geometry;
    };

    void set(const std::vector<FourNumbers>& values);
    unsigned not_real(const std::vector<FourNumbers>& values);
    unsigned at_corner(std::size_t c, std::vector<FourNumbers>& outputs);

    const CarSweep& sweep_;
    SweptCar& single_;
    const Hold hold_;
    std::array<OfCorner, corner_count> corners_;
    FourNumbers travel_mm_{}, rack_mm_{};
    std::vector<double> of_one_;
};

}  // namespace shimwise
