// What the model says of a car as it stood when it was read.
#pragma once

#include "shimwise/rest/solve.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

/// Values with the car held as it was when it was read, and which of them there are.
struct ModelValues {
    std::vector<ValueId> outputs;
    RestValues<double> values;

    bool has(const ValueId& id) const;
};

/// The car with its bars as they were when it was read.
Car as_it_stood(Car car, const Measured& measured);

/// The settings are those of `car`, all else is that of `with_loads`, the model of the car as it stood; on its springs
/// or on solid struts, with the ballast that was read, on the pads that were read; level ones where none were. Throws
/// OutOfReach.
ModelValues model_values(const Measured& measured, const RestModel& with_loads, const Car& car);

/// The model of the car as it is set and as it stood: what stands on these pads, or those.
RestModel model_as_read(const Measured& measured, const RestModel& with_loads, const Car& car);
ModelValues values_on(const Measured& measured, const RestModel& as_read, const PadHeights& pads_mm);

/// Their derivatives by the heights of the pads: rows as `ModelValues::outputs`, columns as corners.
Eigen::MatrixXd rates_by_pads(const Measured& measured, const RestModel& as_read, const PadHeights& pads_mm);

}  // namespace shimwise
