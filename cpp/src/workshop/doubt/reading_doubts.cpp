#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "shimwise/error.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/measure/contradictions.hpp"
#include "shimwise/workshop/measure/level.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/doubt/doubting.hpp"
#include "workshop/measure/by_model.hpp"
#include "workshop/measure/reading_notes.hpp"

namespace shimwise {
namespace {

void strings(Doubting& doubting, const Readings& given) {
    if (given.front_bar_mm && given.rear_bar_mm)
        for (std::size_t side = 0; side < 2; ++side)
            doubting.number(side == 0 ? "strings.left" : "strings.right", UsualOf::string_skew,
                            (*given.front_bar_mm)[side] - (*given.rear_bar_mm)[side]);
    if (given.front_bar_mm)
        doubting.number("strings.front_bar_mm", UsualOf::string_off_centre,
                        (*given.front_bar_mm)[0] - (*given.front_bar_mm)[1]);
    if (given.rear_bar_mm)
        doubting.number("strings.rear_bar_mm", UsualOf::string_off_centre,
                        (*given.rear_bar_mm)[0] - (*given.rear_bar_mm)[1]);
}

/// Front left, front right: "front left - front right".
std::string way_round(const std::vector<CornerId>& pads) {
    std::string way;
    for (const CornerId pad : pads) way += (way.empty() ? "" : " - ") + spaced_words(corner_names[index(pad)]);
    return way;
}

/// The farthest pad alone: one that is misread, or a slope, moves the mean away from all others.
void pads(Doubting& doubting, const Measured& measured) {
    if (!measured.given.pad_height_mm) return;
    const auto& heights = *measured.given.pad_height_mm;
    const double mean = std::accumulate(heights.begin(), heights.end(), 0.0) / static_cast<double>(corner_count);
    const auto farthest =
        std::ranges::max_element(heights, {}, [mean](double height) { return std::abs(height - mean); });
    const std::string pads = measured.given.pad_steps.empty() ? "pads.height_mm." : "pads.steps_mm: ";
    const std::string_view pad = corner_names[static_cast<std::size_t>(farthest - heights.begin())];
    doubting.number(pads + std::string(pad), UsualOf::pad_off_mean, *farthest - mean);
    for (const PadClosure& loop : pad_closures(measured))
        if (!loop.closes)
            doubting.said("pads.steps_mm", way_round(loop.pads) + " and back leaves " +
                                               signed_words(loop.off_mm.value, 2) + " mm over, u " +
                                               fixed_words(loop.off_mm.u, 2) +
                                               " mm: one of these steps is wrong, read them again");
}

/// Where a reading stands in the file, and the row of its repeats.
std::pair<std::string, UsualOf> repeated_at(const std::string& reading) {
    const std::size_t dot = reading.find('.');
    const std::string place = reading.substr(0, dot), what = reading.substr(dot + 1);
    if (place == "ride_height") return {"ride_heights_mm." + what, UsualOf::height_repeats};
    if (place == "gauge_check") return {"gauge_check.camber_gauge_deg", UsualOf::camber_repeats};
    if (what == "scale") return {place + ".scale_kg", UsualOf::scale_repeats};
    if (what.starts_with("camber")) return {place + ".camber_deg", UsualOf::camber_repeats};
    return {place + ".flags_mm", UsualOf::flag_repeats};
}

void repeats(Doubting& doubting, const Readings& given) {
    std::map<std::string, std::vector<double>> all = given.repeated;
    for (const auto& [point, mm] : given.ride_heights_mm) all["ride_height." + point] = mm;
    for (const auto& [reading, sets] : given.anew) {
        all[reading].clear();
        for (const std::vector<double>& set : sets) all[reading].insert(all[reading].end(), set.begin(), set.end());
    }
    for (const auto& [reading, values] : all) {
        const bool checks_apart = given.gauge_checks.size() > 1 && reading.starts_with("gauge_check.");
        if (values.empty() || checks_apart) continue;
        const auto [least, most] = std::ranges::minmax(values);
        const auto [field, of] = repeated_at(reading);
        doubting.number(field, of, most - least);
    }
    if (!given.gauge_checks.empty()) {
        const auto [least, most] = std::ranges::minmax(given.gauge_checks, {}, &GaugeCheck::zero_deg);
        doubting.number("gauge_check", UsualOf::gauge_drift, most.zero_deg - least.zero_deg);
    }
    for (const GaugeCheck& check : given.gauge_checks)
        if (const auto days = days_between(check.at, given.at); days && std::abs(*days) > 1)
            doubting.said("gauge_check", "the gauge was checked on " + check.at.substr(0, 10) + ", the sheet is of " +
                                             given.at.substr(0, 10) +
                                             ": a zero holds for a morning, check it both ways round again");
    const auto zero = [&](const std::string& field, UsualOf of, const std::optional<Reversal>& read) {
        if (read && read->turned) doubting.number(field, of, 0.5 * (read->facing + *read->turned));
    };
    zero("gauge_check.camber_gauge_deg", UsualOf::gauge_zero_today, given.gauge_check_deg);
    for (std::size_t c = 0; c < corner_count; ++c)
        zero(at_corner_field(c, "camber_deg"), UsualOf::gauge_repeats, given.corners[c].camber_deg);
}

void flags(Doubting& doubting, const Readings& given) {
    for (std::size_t c = 0; c < corner_count; ++c)
        if (const auto& read = given.corners[c].flags_mm)
            for (const double mm : {read->front_mm, read->rear_mm})
                doubting.number(at_corner_field(c, "flags_mm"), UsualOf::flag_reading, mm);
}

void plane_of_heights(Doubting& doubting, const Measured& measured, const Car& car) {
    if (measured.ground.from != GroundFrom::ride_heights) return;
    for (std::size_t p = 0; p < car.ride_heights.size(); ++p)
        if (const auto read = measured.value(ValueId::ride_height(car, p)))
            doubting.number("ride_heights_mm." + car.ride_heights[p].name, UsualOf::heights_plane,
                            *read - measured.ground.height_mm(car.ride_heights[p].at_mm));
}

bool same_shims(std::vector<double> a, std::vector<double> b) {
    std::ranges::sort(a);
    std::ranges::sort(b);
    return a == b;
}

/// What rods and packs were read to be, beside the settings and within their limits.
void settings(Doubting& doubting, const Car& car, const Car& read) {
    std::size_t packs_apart = 0;
    for (const Corner& corner : read.corners)
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
            const Adjuster& now = corner.adjusters[a];
            const std::string key = adjuster_key(corner.id, now.name);
            const Adjuster& set = car[corner.id].adjusters[a];
            doubting.number(key, UsualOf::rod_from_settings, now.amount_mm() - set.amount_mm());
            if (now.stack() && !same_shims(set.stack()->fitted_mm, now.stack()->fitted_mm)) ++packs_apart;
            const double setting = now.stack() ? now.stack()->total_mm() : now.thread()->now_turns;
            if (const auto broken = broken_limit(read, corner.id, now, setting))
                doubting.said(key, "as it was read, " + broken->key + " " + broken->rule +
                                       ". The reading or the limit is wrong; a plan keeps to the limit");
        }
    if (packs_apart > 1)
        doubting.said("shims_mm",
                      "at " + std::to_string(packs_apart) +
                          " places other packs were read than those of the settings: the sheet is of another "
                          "day, or rods and all else do not stand as the settings say either");
}

/// Where a value comes from in a readings file, and the row that it has beside the model.
struct Beside {
    std::string field;
    UsualOf of;
};
std::optional<Beside> beside(const ValueId& id) {
    if (id.is(Output::toe)) return Beside{at_corner_field(id.corner, "flags_mm"), UsualOf::toe_from_model};
    if (id.is(Output::camber)) return Beside{at_corner_field(id.corner, "camber_deg"), UsualOf::camber_from_model};
    if (id.is(CornerLoad::weight)) return Beside{at_corner_field(id.corner, "scale_kg"), UsualOf::weight_to_model};
    if (id.of == ValueId::Of::ride_height) return Beside{"ride_heights_mm." + id.point, UsualOf::height_from_model};
    if (id.is(CarOutput::total_toe_front)) return Beside{"front_left.flags_mm", UsualOf::toe_from_model};
    if (id.is(CarOutput::total_toe_rear)) return Beside{"rear_left.flags_mm", UsualOf::toe_from_model};
    return std::nullopt;
}

void by_model(Doubting& doubting, const Measured& measured, const ModelValues& model) {
    for (const Quantity& quantity : measured.quantities) {
        const auto at = beside(quantity.id);
        if (quantity.derived || !at || !model.has(quantity.id)) continue;
        const double read = *measured.value(quantity.id), is = value(model.values, quantity.id);
        const double sides = quantity.id.of == ValueId::Of::car ? 2.0 : 1.0;  // of a total toe
        doubting.number(at->field, at->of, at->of == UsualOf::weight_to_model ? read / is : (read - is) / sides);
    }
}

/// Where the car does not stand by the model: each corner by itself on the ground that was measured.
void by_corners(Doubting& doubting, const Measured& measured, const Car& car) {
    for (const Corner& corner : car.corners) {
        const Outputs<double> model = outputs_on(measured.ground, corner);
        for (const Output output : {Output::toe, Output::camber}) {
            const ValueId id(corner.id, output);
            const auto read = measured.value(id);
            const auto at = beside(id);
            if (read && at) doubting.number(at->field, at->of, *read - model[index(output)]);
        }
    }
}

void total(Doubting& doubting, const Measured& measured, double mass_kg) {
    if (const auto read = measured.value(CarOutput::total_weight))
        doubting.number("scale_kg", UsualOf::total_from_scales, *read / mass_kg);
}

/// What the whole sheet tells.
void contradicts(Doubting& doubting, const Measured& measured, const Car& given) {
    const auto found = contradictions(measured, given);
    if (found && !found->doubt.empty()) doubting.said(found->at, found->doubt);
}

}  // namespace

std::vector<Doubt> doubts(const Measured& measured, const Car& given) {
    const Readings& readings = measured.given;
    Doubting doubting(readings.file);
    flags(doubting, readings);
    strings(doubting, readings);
    pads(doubting, measured);
    repeats(doubting, readings);
    plane_of_heights(doubting, measured, given);
    const Car car = as_read(given, measured.read);
    settings(doubting, given, car);
    try {
        const RestModel model = rest_model(as_it_stood(car, measured));
        total(doubting, measured, with_ballast(model, measured.ballast_kg).total_kg());
        by_model(doubting, measured, model_values(measured, model, car));
    } catch (const OutOfReach&) {  // which the doubts of the car say
        by_corners(doubting, measured, car);
    }
    contradicts(doubting, measured, given);
    return doubting.take();
}

}  // namespace shimwise
