// The car as the search sets it: its values once it stands again, and what one mm of every adjuster does to them.
#pragma once

#include <optional>

#include "shimwise/rest/solid.hpp"
#include "shimwise/workshop/choose/predict.hpp"

namespace shimwise {

/// What carries and what does not: droop stops, rubbers, thirds. A linear model holds as long as this does.
using ContactSet = std::vector<bool>;

/// Of every adjuster of every corner.
using Amounts = std::array<std::vector<double>, corner_count>;

class HeldCar {
public:
    /// At rest on the pads that were read, on solid struts where they were fitted; where it cannot stand so as it is,
    /// every contact on the measured ground. Throws OutOfReach where not even that can be.
    HeldCar(const Car& car, const Measured& measured);

    /// Whether the model knows this value as the car is held.
    bool has(const ValueId& id) const;

    struct State {
        RestValues<double> values;
        ContactSet contacts;
        RestState stands;         // but where contacts are held
        double rocking_mm = 0.0;  // of solid struts, see `SolidState`
    };
    /// Nothing where the car cannot stand so.
    std::optional<State> state(const Amounts& amounts_mm);

    /// d value / d amount; rows as `ids`, columns as `places`.
    Eigen::MatrixXd per_mm(const Amounts& amounts_mm, const State& at, const std::vector<ValueId>& ids,
                           const std::vector<AdjusterPlace>& places);

    /// d rocking / d amount by central differences; nothing where no struts are solid.
    std::optional<Eigen::RowVectorXd> rocking_per_mm(const Amounts& amounts_mm,
                                                     const std::vector<AdjusterPlace>& places);

private:
    void set(const Amounts& amounts_mm);
    std::optional<State> by_contacts() const;

    Ground ground_;
    PadHeights pads_mm_{};
    StrutLengths struts_mm_{};
    CarHeld held_ = CarHeld::rest;
    RestModel model_;
    std::vector<ValueId> outputs_;
    std::vector<RestVariable> variables_;
};

}  // namespace shimwise
