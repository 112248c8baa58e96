// Mornings of the demonstration car for plans, and what it reads once it is set otherwise, worked out by the tests.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>
#include <span>

#include "shimwise/rest/solve.hpp"
#include "shimwise/workshop/choose/plan.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/morning.hpp"

namespace shimwise {

inline constexpr std::array<CornerId, 4> all_corners = {CornerId::front_left, CornerId::front_right,
                                                        CornerId::rear_left, CornerId::rear_right};
inline constexpr std::array<CornerId, 2> front_corners = {CornerId::front_left, CornerId::front_right};
inline constexpr std::array<CornerId, 2> rear_corners = {CornerId::rear_left, CornerId::rear_right};

inline std::string toe_rod(CornerId id) { return is_front(id) ? "track rod" : "toe link"; }

inline std::string at(CornerId id, const std::string& name) {
    return std::string(corner_names[index(id)]) + "." + name;
}

inline Plan plan_of(const Morning& m, const PlanOptions& options = {}) {
    return plan(m.car, m.measured(), m.targets, options);
}

using Names = std::vector<std::string>;

inline PlanOptions with(Names PlanOptions::* which, const Names& names, PlanOptions options = {}) {
    options.*which = names;
    return options;
}

/// What is said of a bad option; empty where nothing is.
inline std::string refusal_of(const Morning& m, const PlanOptions& options) {
    try {
        plan_of(m, options);
    } catch (const InputError& error) {
        return error.what();
    } catch (const OutOfReach&) {  // no fault of what was asked
    }
    return "";
}

inline ValueId id_of(const Morning& m, const std::string& key) { return *named(m.car, key); }

/// The whole car at rest on the pads that were read: measured + (after - before).
struct AtRest {
    Measured measured;
    Car before;
    PadHeights pads{};
    RestValues<double> was;

    explicit AtRest(const Morning& m) : measured(m.measured()), before(as_read(m.car, measured.read)) {
        pads = m.readings.pad_height_mm.value_or(PadHeights{});
        was = of(before);
    }
    RestValues<double> of(const Car& car) const { return rest(rest_model(car), pads).values; }
    double read(const ValueId& id, const RestValues<double>& is) const {
        const double stood = value(was, id);
        return measured.value(id).value_or(stood) + (value(is, id) - stood);
    }
};

inline const PlannedValue* planned(const Choice& choice, const std::string& name) {
    const auto found =
        std::ranges::find_if(choice.values, [&name](const PlannedValue& value) { return key(value.id) == name; });
    return found == choice.values.end() ? nullptr : &*found;
}

/// "asked", "limit", "kept", "let_go"; empty where a plan does not name the value.
inline std::string asks_of(const Choice& choice, const std::string& name) {
    const PlannedValue* found = planned(choice, name);
    return found ? std::string(asks_names[index(found->asks)]) : "";
}

inline const PlannedSetting* setting_of(const Choice& choice, const std::string& name) {
    const auto found = std::ranges::find(choice.settings, name, &PlannedSetting::key);
    return found == choice.settings.end() ? nullptr : &*found;
}

inline std::vector<std::string> touched_keys(const Choice& choice) {
    std::vector<std::string> keys;
    for (const PlannedSetting& setting : choice.settings)
        if (setting.touched) keys.push_back(setting.key);
    return keys;
}

/// From -1 to 1, the same for every machine.
inline double draw(std::mt19937& random) { return (static_cast<int>(random() % 2001U) - 1000) / 1000.0; }

/// Up to 1 deg, 10 mm and 30 kg off.
inline void go_off(Morning& m, std::mt19937& random) {
    for (CornerReadings& corner : m.readings.corners) {
        corner.flags_mm = Flags{41.0 + 0.2 * std::round(45.0 * draw(random)), 40.0};
        corner.camber_deg->facing += 0.02 * std::round(50.0 * draw(random));
    }
    const double heave = 5.0 * draw(random), pitch = 2.5 * draw(random), roll = 2.5 * draw(random);
    for (const CornerId id : all_corners) {
        const double off = heave + (is_front(id) ? pitch : -pitch) + (is_left(id) ? roll : -roll);
        m.readings.ride_heights_mm[std::string(corner_names[index(id)])] = {(is_front(id) ? 30.0 : 42.0) +
                                                                            0.2 * std::round(5.0 * off)};
    }
    const double warp_kg = 0.1 * std::round(150.0 * draw(random));
    for (const CornerId id : all_corners) *m.read(id).scale_kg += is_front(id) == is_left(id) ? warp_kg : -warp_kg;
}

/// All that can be stacked from these shims within limits, ascending: every subset is tried.
inline std::vector<double> all_totals(const std::vector<double>& shims, double least, double most) {
    std::vector<double> totals;
    for (std::size_t set = 0; set < (std::size_t{1} << shims.size()); ++set) {
        double total = 0.0;
        for (std::size_t i = 0; i < shims.size(); ++i) total += (set >> i & 1) != 0 ? shims[i] : 0.0;
        const bool known = std::ranges::any_of(totals, [total](double t) { return std::fabs(t - total) < 1e-9; });
        if (!known && total >= least - 1e-9 && total <= most + 1e-9) totals.push_back(total);
    }
    std::ranges::sort(totals);
    return totals;
}

/// Sets an adjuster: turns from as drawn, or one shim of the total.
inline void set(Car& car, CornerId id, const std::string& name, double amount) {
    Adjuster& adjuster = car[id].adjusters[*car[id].find(name)];
    if (auto* thread = std::get_if<Thread>(&adjuster.setting))
        thread->now_turns = amount;
    else
        std::get<Stack>(adjuster.setting).fitted_mm = {amount};
}

/// All shims of a box of corners, fitted and not, sorted.
inline std::vector<double> all_shims(const Car& car, const std::string& box) {
    std::vector<double> shims = car.boxes_mm.at(box);
    for (const Corner& corner : car.corners)
        for (const Adjuster& adjuster : corner.adjusters)
            if (adjuster.stack() && adjuster.stack()->box == box)
                shims.insert(shims.end(), adjuster.stack()->fitted_mm.begin(), adjuster.stack()->fitted_mm.end());
    std::ranges::sort(shims);
    return shims;
}

/// The morning of the car's mirror image: left is right. The demonstration car is its own image but for what is set,
/// its limits and where its weight is.
inline Morning mirrored(Morning m) {
    const auto swap_sides = [](auto& of_corners) {
        std::swap(of_corners[0], of_corners[1]);
        std::swap(of_corners[2], of_corners[3]);
    };
    const auto swap_names = [](auto& by_name) {
        for (const std::string end : {"front", "rear"}) std::swap(by_name[end + "_left"], by_name[end + "_right"]);
    };
    m.car.mass.cg_mm->y = -m.car.mass.cg_mm->y;
    for (const CornerId left : {CornerId::front_left, CornerId::rear_left}) {
        const auto right = static_cast<CornerId>(index(left) + 1);
        for (std::size_t a = 0; a < m.car[left].adjusters.size(); ++a)
            std::swap(m.car[left].adjusters[a].setting, m.car[right].adjusters[a].setting);
    }
    swap_sides(m.readings.corners);
    if (m.readings.pad_height_mm) swap_sides(*m.readings.pad_height_mm);
    swap_names(m.readings.ride_heights_mm);
    for (auto* bar : {&m.readings.front_bar_mm, &m.readings.rear_bar_mm})
        if (*bar) std::swap((**bar)[0], (**bar)[1]);
    std::map<ValueId, Target> targets;
    for (const auto& [of, wanted] : m.targets.values) {
        ValueId id = of;
        Target target = wanted;
        if (id.of == ValueId::Of::ride_height) {
            std::string name = key(id);
            const bool left = name.ends_with("_left");
            name.replace(name.rfind('_'), std::string::npos, left ? "_right" : "_left");
            id = *named(m.car, name);
        } else if (id.of != ValueId::Of::car) {
            id.corner ^= 1U;
        } else if (id.is(CarOutput::front_difference) || id.is(CarOutput::rear_difference) ||
                   id.is(CarOutput::thrust_angle)) {
            if (target.value) target.value = -*target.value;
            std::swap(target.least, target.most);
            if (target.least) target.least = -*target.least;
            if (target.most) target.most = -*target.most;
        }
        targets[id] = target;
    }
    m.targets.values = targets;
    return m;
}

/// "front_left.toe link" of the mirror image.
inline std::string mirrored_key(std::string name) {
    const std::size_t dot = name.find('.');
    const std::string corner = name.substr(0, dot);
    const bool left = corner.ends_with("_left");
    return corner.substr(0, corner.rfind('_')) + (left ? "_right" : "_left") + name.substr(dot);
}

}  // namespace shimwise
