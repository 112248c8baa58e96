#include "shimwise/rest/sweep.hpp"

#include <algorithm>
#include <limits>
#include <memory>
#include <utility>

#include "files/shown.hpp"
#include "rest/swept_fours.hpp"
#include "shimwise/math/in_chunks.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/motion/curves.hpp"

namespace shimwise {
namespace {

using Of = SweptInput::Of;

constexpr std::size_t chunk = 64;  // of the slowest states a few milliseconds

std::string of_corner(std::size_t c, std::string_view name) {
    return std::string(corner_names[c]) + "." + std::string(name);
}

void add_adjusters(const Car& car, std::size_t c, std::vector<SweptInput>& all) {
    const std::vector<Adjuster>& adjusters = car.corners[c].adjusters;
    for (std::size_t a = 0; a < adjusters.size(); ++a) {
        const bool thread = adjusters[a].thread() != nullptr;
        all.push_back({.of = Of::adjuster,
                       .key = of_corner(c, adjusters[a].name),
                       .unit = thread ? "turn" : "mm",
                       .long_name = adjusters[a].name + (thread ? ", from as drawn" : ", whole thickness of the pack"),
                       .corner = c,
                       .index = a,
                       .now = present_setting(adjusters[a])});
    }
}

void add_points(const Corner& corner, std::size_t c, Moved moved, std::vector<SweptInput>& all) {
    for (std::size_t p = 0; p < point_count; ++p) {
        if (!corner.points[p]) continue;
        const Vec3<double> at = moved == Moved::built ? *corner.points[p] + corner.built_off_mm[p] : *corner.points[p];
        const std::array<double, 3> coordinates = {at.x, at.y, at.z};
        for (std::size_t axis = 0; axis < 3; ++axis)
            all.push_back({.of = Of::point,
                           .key = of_corner(c, point_names[p]) + "." + "xyz"[axis],
                           .unit = "mm",
                           .long_name = std::string(point_names[p]) + ", " + "xyz"[axis] + " as " +
                                        std::string(moved_names[index(moved)]),
                           .corner = c,
                           .index = p,
                           .axis = axis,
                           .now = coordinates[axis]});
    }
}

bool on_rack(const Car& car) {
    return car.rack && std::ranges::any_of(car.corners, [](const Corner& c) { return c.rack_direction.has_value(); });
}

SweptOutput output_of(std::size_t c, const ValueInfo& info, std::size_t row) {
    return {.key = of_corner(c, info.name),
            .column = of_corner(c, column_name(info)),
            .unit = std::string(info.unit),
            .sign = std::string(info.sign),
            .missing = {},
            .corner = c,
            .row = row};
}

/// The index in each dimension of state number `state`, the last one fastest.
void take_apart(std::size_t state, const std::vector<std::size_t>& shape, std::vector<std::ptrdiff_t>& place) {
    for (std::size_t d = shape.size(); d-- > 0;) {
        place[d] = static_cast<std::ptrdiff_t>(state % shape[d]);
        state /= shape[d];
    }
}

double number_at(const SweptNumbers& numbers, const std::vector<std::ptrdiff_t>& place) {
    std::ptrdiff_t at = 0;
    for (std::size_t d = 0; d < place.size(); ++d) at += place[d] * numbers.steps[d];
    return numbers.first[at];
}

/// What one thread works with.
class Worker {
public:
    Worker(const CarSweep& sweep, std::size_t first, const SweepResults& results)
        : sweep_(sweep),
          first_(first),
          results_(results),
          car_(sweep),
          fours_(swept_fours(sweep, car_)),
          place_(sweep.shape.size()),
          values_(sweep.columns.size()),
          outputs_(sweep.outputs.size()),
          four_values_(sweep.columns.size()),
          four_outputs_(sweep.outputs.size()) {}

    void work_on(const Chunk& items, const std::function<bool()>& stopped) {
        const std::size_t step = fours_ ? kernel_lanes : 1;
        for (std::size_t i = items.first; i < items.last && !stopped(); i += step)
            fours_ ? four_from(i, std::min(step, items.last - i)) : one(i);
    }

private:
    /// Fewer than four are filled up with the last of them.
    void four_from(std::size_t first, std::size_t count) {
        unsigned left = 0;
        for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
            if (lane < count) take_apart(first_ + first + lane, sweep_.shape, place_);
            if (missing_mm() > 0.0) left |= 1U << lane;
            for (std::size_t i = 0; i < values_.size(); ++i)
                four_values_[i][lane] = number_at(sweep_.columns[i].values, place_);
        }
        if (left != all_left) left |= fours_->at(four_values_, four_outputs_);
        for (std::size_t lane = 0; lane < count; ++lane) {
            if (left & 1U << lane) {
                one(first + lane);
                continue;
            }
            for (std::size_t o = 0; o < outputs_.size(); ++o)
                results_.outputs[o][first + lane] = four_outputs_[o][lane];
            put(first + lane, {});
        }
    }

    void one(std::size_t item) {
        take_apart(first_ + item, sweep_.shape, place_);
        const Shortfall by = found();
        if (by.what != Obstacle::none)
            std::fill(outputs_.begin(), outputs_.end(), std::numeric_limits<double>::quiet_NaN());
        for (std::size_t o = 0; o < outputs_.size(); ++o) results_.outputs[o][item] = outputs_[o];
        put(item, by);
    }

    void put(std::size_t item, const Shortfall& by) const {
        results_.status[item] = static_cast<signed char>(by.what);
        const bool named = by.what != Obstacle::none && by.corner;
        results_.corner[item] = static_cast<signed char>(named ? static_cast<int>(*by.corner) : -1);
        results_.short_by_mm[item] = by.by_mm;
        results_.short_by_N[item] = by.by_N;
    }

    double missing_mm() const { return sweep_.missing_mm ? number_at(*sweep_.missing_mm, place_) : 0.0; }

    /// At the place.
    Shortfall found() {
        if (const double mm = missing_mm(); mm > 0.0) return {.what = Obstacle::shims_not_at_hand, .by_mm = mm};
        for (std::size_t i = 0; i < values_.size(); ++i) values_[i] = number_at(sweep_.columns[i].values, place_);
        return car_.at(values_, outputs_);
    }

    const CarSweep& sweep_;
    const std::size_t first_;
    const SweepResults& results_;
    SweptCar car_;
    std::unique_ptr<SweptFours> fours_;
    std::vector<std::ptrdiff_t> place_;
    std::vector<double> values_, outputs_;
    std::vector<FourNumbers> four_values_, four_outputs_;
};

}  // namespace

std::vector<SweptInput> sweep_inputs(const Car& car, SweepHold hold, Moved moved) {
    std::vector<SweptInput> all;
    for (std::size_t c = 0; c < corner_count; ++c) add_adjusters(car, c, all);
    if (hold == SweepHold::rest) {
        for (std::size_t c = 0; c < corner_count; ++c)
            all.push_back({.of = Of::pad,
                           .key = "pad." + std::string(corner_names[c]),
                           .unit = "mm",
                           .long_name = "height of the pad under " + std::string(corner_names[c]),
                           .corner = c});
        for (std::size_t b = 0; b < car.ballast.size(); ++b)
            all.push_back({.of = Of::ballast,
                           .key = "ballast." + car.ballast[b].name,
                           .unit = "kg",
                           .long_name = "ballast " + car.ballast[b].name,
                           .index = b,
                           .now = car.ballast[b].now_kg});
    } else {
        all.push_back({.of = Of::travel,
                       .key = "travel_mm",
                       .unit = "mm",
                       .long_name = "wheel travel from as drawn, + = wheel up"});
    }
    if (on_rack(car))
        all.push_back({.of = Of::rack, .key = "rack_mm", .unit = "mm", .long_name = "rack travel, + = to the left"});
    for (std::size_t c = 0; c < corner_count; ++c) add_points(car.corners[c], c, moved, all);
    return all;
}

std::vector<SweptOutput> sweep_outputs(const Car& car, SweepHold hold) {
    std::vector<SweptOutput> all;
    if (hold == SweepHold::rest) {
        const std::vector<ValueId> ids = rest_outputs(rest_model(car));
        for (std::size_t row = 0; row < ids.size(); ++row) {
            const ValueInfo& of = info(ids[row]);
            all.push_back({.key = key(ids[row]),
                           .column = column_name(ids[row]),
                           .unit = std::string(of.unit),
                           .sign = std::string(of.sign),
                           .missing = {},
                           .corner = ids[row].corner,
                           .row = row});
        }
        return all;
    }
    for (std::size_t c = 0; c < corner_count; ++c) {
        for (std::size_t o = 0; o < output_count; ++o) all.push_back(output_of(c, output_list[o], o));
        for (std::size_t k = 0; k < curve_count; ++k) {
            all.push_back(output_of(c, curve_list[k], output_count + k));
            all.back().missing = missing_for(car.corners[c], static_cast<Curve>(k));
        }
    }
    return all;
}

std::vector<std::string> names_of(const SweptOutput& output) {
    std::vector<std::string> names;
    const auto add = [&](const std::string& name) {
        if (std::ranges::find(names, name) == names.end()) names.push_back(name);
    };
    for (const std::string& whole : {output.key, output.column}) {
        add(whole);
        const std::size_t dot = whole.find('.');
        if (std::ranges::find(corner_names, whole.substr(0, dot)) != corner_names.end()) add(whole.substr(dot + 1));
    }
    return names;
}

std::vector<SweepHold> holds_with(const Car& car, std::string_view name) {
    const auto given = [&](SweepHold hold) -> std::vector<SweptOutput> {
        try {
            return sweep_outputs(car, hold);
        } catch (const OutOfReach&) {
            return {};
        }
    };
    const auto named = [&](const SweptOutput& output) {
        const std::vector<std::string> names = names_of(output);
        return std::ranges::find(names, name) != names.end();
    };
    std::vector<SweepHold> holds;
    for (std::size_t h = 0; h < sweep_hold_names.size(); ++h) {
        const auto hold = static_cast<SweepHold>(h);
        if (std::ranges::any_of(given(hold), named)) holds.push_back(hold);
    }
    return holds;
}

void demand_settable(const Car& car, const SweptInput& input, SweepHold hold, double value, bool change) {
    if (change) value += input.now;
    const auto refuse = [&](std::string rule) {
        throw InputError({{"", 0, 0, input.key, files::shown(value), std::move(rule)}});
    };
    switch (input.of) {
        case Of::adjuster: {
            const auto id = static_cast<CornerId>(input.corner);
            if (const auto broken = broken_limit(car, id, car[id].adjusters[input.index], value))
                refuse(broken->key + " " + broken->rule);
            break;
        }
        case Of::pad: {
            PadHeights pads_mm{};
            pads_mm[input.corner] = value;
            check_pads(pads_mm);
            break;
        }
        case Of::ballast:
            if (!(value >= 0.0)) refuse("is a ballast of 0 kg or more");
            break;
        case Of::rack:
            if (hold == SweepHold::rest && !(value >= car.rack->least_mm && value <= car.rack->most_mm))
                refuse("goes beyond rack.travel_mm = [" + files::shown(car.rack->least_mm) + ", " +
                       files::shown(car.rack->most_mm) + "]");
            break;
        case Of::point:
        case Of::travel:
            break;
    }
}

void sweep(const CarSweep& sweep, const StateRange& part, const SweepResults& results, std::size_t threads,
           const std::function<void(std::size_t)>& watch) {
    in_chunks(
        part.last - part.first, chunk, threads,
        [&]() -> ChunkWork {
            const auto worker = std::make_shared<Worker>(sweep, part.first, results);
            return
                [worker](const Chunk& items, const std::function<bool()>& stopped) { worker->work_on(items, stopped); };
        },
        watch);
}

}  // namespace shimwise
