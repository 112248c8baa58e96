#include "workshop/choose/wanted.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "shimwise/workshop/measure/differences.hpp"

namespace shimwise {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();
constexpr double inside_rounding = 1e-9;  // of a scale
constexpr double no_common_tolerance = 0.01;

Wanted with_ends(Wanted one) {
    const Target& t = one.target;
    const bool around = t.value && one.asks != Asks::asked;
    one.low = around ? *t.value - t.tolerance : -endless;
    one.high = around ? *t.value + t.tolerance : endless;
    if (t.least) one.low = std::max(one.low, *t.least);
    if (t.most) one.high = std::min(one.high, *t.most);
    if (one.keeps) {
        one.low = std::max(one.low, *one.keeps->value - one.keeps->tolerance);
        one.high = std::min(one.high, *one.keeps->value + one.keeps->tolerance);
    }
    return one;
}

std::optional<double> value_now(const ValueId& id, const Measured& measured, std::optional<double> by_model) {
    const auto read = measured.value(id);
    return read ? read : by_model;
}

double miss(const Wanted& one, double then) { return std::max({one.low - then, then - one.high, 0.0}); }

}  // namespace

std::vector<std::vector<ValueId>> groups_of(const Car& car) {
    std::vector<std::vector<ValueId>> groups;
    const auto of_corners = [&](auto output) {
        std::vector<ValueId> group;
        for (std::size_t c = 0; c < corner_count; ++c) group.emplace_back(static_cast<CornerId>(c), output);
        groups.push_back(std::move(group));
    };
    for (const Output output : {Output::toe, Output::camber, Output::caster}) of_corners(output);
    std::vector<ValueId> heights;
    for (std::size_t p = 0; p < car.ride_heights.size(); ++p) heights.push_back(ValueId::ride_height(car, p));
    groups.push_back(std::move(heights));
    of_corners(Output::spring_length);
    for (const CarOutput output :
         {CarOutput::front_difference, CarOutput::rear_difference, CarOutput::cross_weight, CarOutput::rake,
          CarOutput::total_toe_front, CarOutput::total_toe_rear, CarOutput::thrust_angle,
          CarOutput::camber_difference_front, CarOutput::camber_difference_rear, CarOutput::caster_difference_front,
          CarOutput::front_bar_torque, CarOutput::rear_bar_torque})
        groups.push_back({output});
    return groups;
}

std::optional<Wanted> wanted(const ValueId& id, const Target& target, const Measured& measured,
                             std::optional<double> by_model) {
    const auto now = value_now(id, measured, by_model);
    if (!now) return std::nullopt;
    Wanted one;
    one.id = id;
    one.target = target;
    one.asks = target.value ? Asks::asked : Asks::limit;
    one.measured = measured.find(id).has_value();
    one.now = *now;
    one.scale = target.value ? target.tolerance : info(id).common_tolerance.value_or(no_common_tolerance);
    one.aim = target.value;
    one.aim_tolerance = target.tolerance;
    return with_ends(std::move(one));
}

std::optional<double> share_of_total_toe(const ValueId& id, const Measured& measured, const Targets& targets) {
    if (!id.is(Output::toe) || measured.find(id)) return std::nullopt;
    const bool front = is_front(static_cast<CornerId>(id.corner));
    const auto total = measured.value(front ? CarOutput::total_toe_front : CarOutput::total_toe_rear);
    if (!total) return std::nullopt;
    constexpr std::array<CornerId, corner_count> across = {CornerId::front_right, CornerId::front_left,
                                                           CornerId::rear_right, CornerId::rear_left};
    const auto mine = target_of(targets, id), its = target_of(targets, {across[id.corner], Output::toe});
    if (!mine || !its || !mine->value || !its->value) return 0.5 * *total;
    return *mine->value + 0.5 * (*total - *mine->value - *its->value);
}

std::optional<Wanted> kept(const ValueId& id, const Measured& measured, std::optional<double> by_model,
                           const Car& car) {
    const auto now = value_now(id, measured, by_model);
    const auto tolerance = common_tolerance(id, car);
    if (!now || !tolerance) return std::nullopt;
    Wanted one;
    one.id = id;
    one.asks = Asks::kept;
    one.target = target_about(*now, *tolerance);
    one.measured = measured.find(id).has_value();
    one.now = *now;
    one.scale = *tolerance;
    return with_ends(std::move(one));
}

Wanted kept_too(Wanted one, const Car& car) {
    const auto tolerance = common_tolerance(one.id, car);
    if (one.target.value || !tolerance || !meets(one.target, one.now)) return one;
    one.keeps = target_about(one.now, *tolerance);
    return with_ends(std::move(one));
}

Wanted kept_about(Wanted one, double value) {
    one.target.value = value;
    return with_ends(std::move(one));
}

double misfit(const std::vector<Wanted>& all, const Eigen::VectorXd& then) {
    double sum = 0.0;
    for (std::size_t w = 0; w < all.size(); ++w) {
        if (!all[w].in_cost()) continue;
        const double off = (then(static_cast<Eigen::Index>(w)) - *all[w].aim) / all[w].aim_tolerance;
        sum += off * off;
    }
    return sum;
}

double broken(const std::vector<Wanted>& all, const Eigen::VectorXd& then) {
    double sum = 0.0;
    for (std::size_t w = 0; w < all.size(); ++w) {
        const double off = miss(all[w], then(static_cast<Eigen::Index>(w))) / all[w].scale;
        if (off > inside_rounding) sum += off * off;
    }
    return sum;
}

bool meets_targets(const std::vector<Wanted>& all, const Eigen::VectorXd& then) {
    for (std::size_t w = 0; w < all.size(); ++w)
        if (all[w].is_target() && !meets(all[w].target, then(static_cast<Eigen::Index>(w)))) return false;
    return true;
}

Wanted as_limit(Wanted one) {
    one.asks = Asks::limit;
    one.aim.reset();
    return with_ends(std::move(one));
}

Wanted as_let_go(Wanted one) {
    if (one.keeps) {
        one.keeps.reset();
        return with_ends(std::move(one));
    }
    one.asks = Asks::let_go;
    one.aim.reset();
    one.low = -endless;
    one.high = endless;
    return one;
}

Wanted as_wish(Wanted one) {
    one.asks = Asks::asked;
    one.aim = one.target.value;
    one.aim_tolerance = one.target.tolerance;
    one.low = one.target.least.value_or(-endless);
    one.high = one.target.most.value_or(endless);
    return one;
}

Wanted as_near_as_can_be(Wanted one, double nearest) {
    if (!(miss(one, nearest) > inside_rounding * one.scale)) return one;
    one.aim = nearest < one.low ? one.low : one.high;
    one.aim_tolerance = std::max(one.scale, miss(one, nearest));
    one.low = -endless;
    one.high = endless;
    return one;
}

}  // namespace shimwise
