#include "workshop/choose/car_recipe_ask.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "workshop/choose/car_recipe_turn.hpp"
#include "workshop/choose/recipe_newton.hpp"

namespace shimwise {
namespace {

using Eigen::Index;

std::optional<std::size_t> place_of(const std::vector<NamedValue>& known, const std::string& name) {
    for (std::size_t i = 0; i < known.size(); ++i) {
        if (name == key(known[i].id) || name == column_name(known[i].id)) return i;
    }
    return std::nullopt;
}

/// The other wheel's end of the chassis and the other side's point: what stays where one point of the rake is aimed at.
std::vector<ValueId> beside(const RestModel& m, const ValueId& id) {
    if (id.of != ValueId::Of::ride_height) return {};
    for (std::size_t end = 0; end < m.rake.size(); ++end)
        for (std::size_t side = 0; side < 2; ++side)
            if (m.rake[end][side] == id.index)
                return {ValueId::ride_height(m.car, m.rake[end][1 - side]),
                        end == 0 ? CarOutput::rear_height : CarOutput::front_height};
    return {};
}

/// What is kept beside these aims, in the order in which it is chosen as long as it is still free.
std::vector<ValueId> others(const RestModel& m, const std::vector<AskedValue>& aims) {
    using enum CarOutput;
    std::vector<ValueId> kept;
    bool ends = true, weight = false;
    for (const AskedValue& aim : aims) {
        const ValueId& id = aim.named.id;
        const ValueKind kind = info(id).kind;
        weight = weight || kind == ValueKind::weight || kind == ValueKind::share;
        if (id.is(rake) || id.is(rake_angle) || id.is(pitch)) kept = {mean_height, roll}, ends = false;
        if (id.is(height) || id.is(mean_height)) kept = {rake, roll}, ends = false;
    }
    if (ends)
        for (const AskedValue& aim : aims)
            for (const ValueId& id : beside(m, aim.named.id)) kept.push_back(id);
    if (m.rake.empty()) kept = {height, pitch, roll};
    for (const CarOutput one : {front_height, rear_height, roll})
        if (!m.rake.empty()) kept.emplace_back(one);
    if (!weight) kept.emplace_back(cross_weight);
    return kept;
}

class Task {
public:
    Task(const RestModel& model, const Eigen::MatrixXd& rates)
        : model_(model), rates_(rates), known_(named_values(model)) {
        for (const NamedValue& one : known_) names_.push_back(key(one.id));
    }

    CarRecipeTask of(const CarRecipeAsk& ask) {
        if (ask.aims.empty()) fault("aims", "name nothing that is to change");
        for (const CarAim& aim : ask.aims) {
            if (!std::isfinite(aim.by)) fault(aim.what, "must be a finite number");
            if (aim.by == 0.0) fault(aim.what, "must not be 0; what is to stay is named in `keep`");
            add(aim.what, true, aim.by, aim.at_flags_mm);
        }
        for (const std::string& name : ask.keep.value_or(std::vector<std::string>{"others"})) keep(name);
        CarRecipeTask task;
        task.places = places_that_turn(model_, ask.turn, outputs(), problems_);
        if (!problems_.empty()) throw InputError(std::move(problems_));
        if (keep_others_) add_others();
        task.values = values_;
        return task;
    }

private:
    void fault(const std::string& what, const std::string& rule) { problems_.push_back({"", 0, 0, what, "", rule}); }

    void add(const std::string& name, bool aim, double by, std::optional<double> at_flags_mm = {}) {
        const auto place = place_of(known_, name);
        if (!place) return fault(name, "is no value of this car at rest" + did_you_mean(name, names_));
        const NamedValue& named = known_[*place];
        for (const AskedValue& other : values_)
            if (other.named.id == named.id)
                return fault(name, aim || !other.aim ? "is named twice" : "cannot both change and be kept");
        values_.push_back({named, aim, by, weighing_tolerance(info(named.id).unit), at_flags_mm});
    }

    void keep(const std::string& name) {
        if (name == "others") {
            keep_others_ = true;
        } else if (std::any_of(output_list.begin(), output_list.end(),
                               [&](const ValueInfo& one) { return one.target && one.name == name; })) {
            for (const std::string_view corner : corner_names) add(std::string(corner) + "." + name, false, 0.0);
        } else {
            add(name, false, 0.0);
        }
    }

    /// Outputs whose purpose brings adjusters of their own.
    std::vector<std::size_t> outputs() const {
        std::vector<std::size_t> all;
        for (const AskedValue& asked : values_)
            for (const auto& [place, share] : asked.named.of) all.push_back(place);
        return all;
    }

    /// A value that the asked ones decide (its row of the table is a sum of theirs) is not kept as well.
    void add_others() {
        Index turned = 0;  // columns of adjusters: pads and ballast move weights that nothing on the car does
        for (const RestVariable& v : rest_variables(model_)) turned += v.of == RestVariable::Of::adjuster ? 1 : 0;
        std::vector<AskedValue> aims = values_;
        std::erase_if(aims, [](const AskedValue& asked) { return !asked.aim; });
        for (const ValueId& id : others(model_, aims)) {
            Eigen::MatrixXd rows(turned, static_cast<Index>(values_.size()));
            for (std::size_t v = 0; v < values_.size(); ++v)
                rows.col(static_cast<Index>(v)) =
                    rates_of(values_[v].named, rates_).head(turned) / values_[v].tolerance;
            const NamedValue& named = known_[place_of(known_, key(id)).value()];
            const Eigen::VectorXd row = rates_of(named, rates_).head(turned) / weighing_tolerance(info(id).unit);
            if (!solvable(rows, row)) add(key(id), false, 0.0);
        }
    }

    const RestModel& model_;
    const Eigen::MatrixXd& rates_;
    std::vector<NamedValue> known_;
    std::vector<std::string> names_;
    std::vector<AskedValue> values_;
    std::vector<Problem> problems_;
    bool keep_others_ = false;
};

}  // namespace

std::vector<NamedValue> named_values(const RestModel& m) {
    const std::vector<ValueId> outputs = rest_outputs(m);
    std::size_t first_height = 0;
    while (first_height < outputs.size() && outputs[first_height].of != ValueId::Of::ride_height) ++first_height;
    std::vector<NamedValue> all;
    const auto mean = [&](CarOutput output, const std::vector<std::size_t>& points) {
        NamedValue one{output, {}};
        for (const std::size_t point : points)
            one.of.emplace_back(first_height + point, 1.0 / static_cast<double>(points.size()));
        all.push_back(std::move(one));
    };
    if (!m.rake.empty()) {
        const auto& [front, rear] = std::pair(m.rake[0], m.rake[1]);
        mean(CarOutput::front_height, {front[0], front[1]});
        mean(CarOutput::rear_height, {rear[0], rear[1]});
        mean(CarOutput::mean_height, {front[0], front[1], rear[0], rear[1]});
    }
    for (std::size_t o = at_rest_count; o < car_output_count; ++o) {
        const ValueInfo& sum = car_output_list[o];
        if (!sums_wheels(sum)) continue;
        NamedValue one{static_cast<CarOutput>(o), {}};
        for (std::size_t c = 0; c < corner_count; ++c) {
            const auto wheel = std::ranges::find(outputs, ValueId(static_cast<CornerId>(c), sum.sum_of));
            if (sum.shares[c] != 0.0) one.of.emplace_back(wheel - outputs.begin(), sum.shares[c]);
        }
        all.push_back(std::move(one));
    }
    for (std::size_t o = 0; o < outputs.size(); ++o) all.push_back({outputs[o], {{o, 1.0}}});
    return all;
}

std::vector<std::string> car_recipe_names(const RestModel& m) {
    std::vector<std::string> names;
    for (const NamedValue& one : named_values(m)) names.push_back(key(one.id));
    return names;
}

double value(const NamedValue& named, const std::vector<double>& row) {
    double sum = 0.0;
    for (const auto& [place, share] : named.of) sum += share * row[place];
    return sum;
}

Eigen::VectorXd rates_of(const NamedValue& named, const Eigen::MatrixXd& rest_rates) {
    Eigen::VectorXd sum = Eigen::VectorXd::Zero(rest_rates.cols());
    for (const auto& [place, share] : named.of) sum += share * rest_rates.row(static_cast<Index>(place)).transpose();
    return sum;
}

double weighing_tolerance(std::string_view unit) {
    if (unit == "mm") return 0.5;
    if (unit == "percent") return 0.3;
    if (unit == "kg") return 1.0;
    if (unit == "deg") return 0.05;
    if (unit == "N") return 20.0;
    if (unit == "Nm") return 1.0;
    return 0.01;
}

CarAim car_aim(const RestModel& model, const std::string& what, const Words& words) {
    const std::vector<NamedValue> known = named_values(model);
    const auto place = place_of(known, what);
    if (!place) return {what, 1.0};
    const ValueId& id = known[*place].id;
    std::optional<double> span_mm;
    if (id.is(Output::toe)) span_mm = model.car.corners[id.corner].wheel.flag_span_mm;
    const ValueChange change = value_change(what, words, info(id).unit, span_mm);
    return {what, change.by, change.at_flags_mm};
}

CarRecipeTask car_recipe_task(const RestModel& model, const CarRecipeAsk& ask, const Eigen::MatrixXd& rates) {
    return Task(model, rates).of(ask);
}

}  // namespace shimwise
