// What a recipe of the whole car asks for, by name, as sums of the values at rest; and which adjusters may turn.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "shimwise/rest/rates.hpp"
#include "shimwise/workshop/choose/car_recipe.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

/// A value that can be named: a sum of values at rest.
struct NamedValue {
    ValueId id;
    std::vector<std::pair<std::size_t, double>> of;  // place in `rest_outputs`, share
};
std::vector<NamedValue> named_values(const RestModel& model);

double value(const NamedValue& named, const std::vector<double>& row);
Eigen::VectorXd rates_of(const NamedValue& named, const Eigen::MatrixXd& rest_rates);

/// A value that is aimed at (by an amount) or kept.
struct AskedValue {
    NamedValue named;
    bool aim = false;
    double by = 0.0;
    double tolerance = 0.0;
    std::optional<double> at_flags_mm = {};
};

/// By which the nearest settings are weighed: half a millimetre, 0.3 % of cross weight, 1 kg (common practice, no
/// source); for the other units what an eye sees on a gauge.
double weighing_tolerance(std::string_view unit);

struct CarRecipeTask {
    std::vector<AskedValue> values;  // aims first
    std::vector<AdjusterPlace> places;
};

/// `rates`: of the car as it stands (`rest_rates`); what is kept is chosen where no asked value decides it already.
/// Throws InputError.
CarRecipeTask car_recipe_task(const RestModel& model, const CarRecipeAsk& ask, const Eigen::MatrixXd& rates);

}  // namespace shimwise
