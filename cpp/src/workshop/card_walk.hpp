// The car on its way from as it stands to as planned, line by line, and what it reads there.
#pragma once

#include "shimwise/workshop/card.hpp"
#include "workshop/choose/held_car.hpp"

namespace shimwise {

/// Of one state of the whole car each.
class CardWalk {
public:
    CardWalk(const Car& car, const Measured& measured, double model_share);

    /// Sets an adjuster and stands the car again.
    void turn(const PlannedSetting& planned);
    const Car& now() const { return now_; }

    /// What flags and gauge of a corner show now, where they were read.
    std::vector<CardReading> at_wheel(std::size_t corner) const;
    /// Heights, scales, where they were read and the model knows them as the car is held.
    std::vector<CardReading> heights() const;
    std::vector<CardReading> scales() const;
    std::vector<CardReading> all() const;

    /// By how much a value of the model has moved so far; nothing where the car as held has no such value.
    std::optional<double> change(const ValueId& id) const;
    /// Standard deviation of its next reading; nothing where it was not read.
    std::optional<double> deviation(const ValueId& id) const;

private:
    std::vector<CardReading> of_kind(ReadingOf of) const;
    std::size_t place(const ValueId& id) const;

    const Measured& measured_;
    double model_share_;
    HeldCar held_;
    std::array<AsMeasured, corner_count> before_;
    Car now_;
    std::array<std::vector<double>, corner_count> amounts_mm_;
    std::vector<ValueId> ids_;  // that the model knows: all that is read of the car, and every corner's outputs
    std::vector<double> was_, is_, missed2_;
    bool stands_ = true;  // at this point of the card
};

}  // namespace shimwise
