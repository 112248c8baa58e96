#include "workshop/measure/reading_notes.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>

#include "shimwise/workshop/measure/packing.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

using Notes = std::vector<std::string>;

std::string joined(const Notes& words) {
    std::string all;
    for (const std::string& word : words) all += (all.empty() ? "" : ", ") + word;
    return all;
}

/// "Camber was not read at front_left, rear_right."
template <class Read>
void missing_at(Notes& notes, const std::string& what, Read read) {
    Notes at;
    for (std::size_t c = 0; c < corner_count; ++c)
        if (!read(c)) at.emplace_back(corner_names[c]);
    if (!at.empty()) notes.push_back(what + " not read at " + joined(at) + ".");
}

void state_notes(Notes& notes, const Readings& readings, const Car& car) {
    if (readings.bars == BarsWere::on)
        notes.emplace_back(
            "The bars were on: they hold a twist of their own. Take them off at one link each and read again.");
    if (readings.struts_solid)
        notes.emplace_back("The struts were solid: scale readings then say nothing about the car on its springs.");
    for (const Ballast& ballast : car.ballast) {
        const auto read = readings.ballast_kg.find(ballast.name);
        if (read != readings.ballast_kg.end() && read->second != ballast.now_kg)
            notes.push_back("Ballast \"" + ballast.name + "\" was " + fixed_words(read->second, 1) + " kg, " +
                            fixed_words(ballast.now_kg, 1) +
                            " kg in the car file: weights and heights belong to the former.");
    }
}

void toe_notes(Notes& notes, const Readings& readings, const Car& car) {
    missing_at(notes, "Toe:", [&](std::size_t c) { return readings.corners[c].flags_mm.has_value(); });
    for (std::size_t left = 0; left < corner_count; left += 2) {
        const bool steered = car.corners[left].rack_direction || car.corners[left + 1].rack_direction;
        const bool read = readings.corners[left].flags_mm || readings.corners[left + 1].flags_mm;
        if (steered && read && !readings.rack_locked)
            notes.push_back("The rack is not said to be locked at centre: of the " +
                            std::string(left == 0 ? "front" : "rear") +
                            " only the total toe can be concluded, not the toe of each wheel.");
    }
    const bool any = std::any_of(readings.corners.begin(), readings.corners.end(),
                                 [](const CornerReadings& c) { return c.flags_mm.has_value(); });
    if (any && !(readings.front_bar_mm && readings.rear_bar_mm && car.strings.bars_apart_mm > 0.0))
        notes.emplace_back("The strings' settings were not given: they are taken as parallel.");
    if (any && !(car.strings.bars_apart_mm > 0.0))
        notes.emplace_back(
            "The car file does not say how far the strings' bars are apart: their ends are taken as exact.");
}

std::string checks_words(const Readings& readings) {
    const std::vector<GaugeCheck>& checks = readings.gauge_checks;
    if (checks.size() < 2) {
        const bool today = checks.empty() || days_between(checks.front().at, readings.at).value_or(0) == 0;
        return today ? "this morning's check" : "the check of " + checks.front().at.substr(0, 10);
    }
    const auto [least, most] = std::ranges::minmax(checks, {}, &GaugeCheck::zero_deg);
    return "the mean of " + std::to_string(checks.size()) + " checks from " + checks.front().at + " to " +
           checks.back().at + ", which lie " + fixed_words(most.zero_deg - least.zero_deg, 3) + " deg apart";
}

void gauge_notes(Notes& notes, const Readings& readings, const Car& car, const Measured& measured) {
    missing_at(notes, "Camber:", [&](std::size_t c) { return readings.corners[c].camber_deg.has_value(); });
    if (std::ranges::none_of(readings.corners, [](const CornerReadings& c) { return c.camber_deg.has_value(); }))
        return;
    const CamberGauge& gauge = car.instruments.camber_gauge;
    const bool checked = readings.gauge_check_deg && readings.gauge_check_deg->turned;
    if (checked) {
        const double zero = 0.5 * (readings.gauge_check_deg->facing + *readings.gauge_check_deg->turned);
        notes.push_back("The camber gauge shows " + signed_words(zero, 3) + " deg too much by " +
                        checks_words(readings) + "; that is taken off.");
    } else if (readings.gauge_check_deg) {
        notes.emplace_back("The gauge check was read one way round only: it says nothing of the zero.");
    }
    if (const auto over = days_over(gauge, readings))
        notes.push_back("The camber gauge was checked on " + gauge.checked + ", " +
                        std::to_string(*gauge.valid_days + *over) +
                        " days before these readings; its zero is good for " + std::to_string(*gauge.valid_days) +
                        " days, and taken for half as sure. Check it both ways round on one surface.");
    if (!readings.pad_height_mm)
        notes.emplace_back("The pads were not read: gravity is taken along the ground's normal.");
    else if (measured.ground.plumb.x != 0.0 || measured.ground.plumb.y != 0.0)
        notes.push_back("The pads' plane leans by " +
                        fixed_words(std::hypot(measured.ground.plumb.x, measured.ground.plumb.y) * 1000.0, 2) +
                        " mm a metre; camber is corrected for it.");
}

/// Nothing is taken off a weight for it: the model that plans and trials stand on has these pads.
void twist_notes(Notes& notes, const Readings& readings, const Car& car, const Measured& measured) {
    const auto weighed = [](const CornerReadings& corner) { return corner.scale_kg.has_value(); };
    if (!readings.pad_height_mm || std::ranges::none_of(readings.corners, weighed)) return;
    const double twist_mm = level(measured, car).twist_mm.value;
    if (!(std::abs(twist_mm) > LevelTolerance().twist_mm)) return;
    notes.push_back(
        "The pads twist by " + signed_words(twist_mm, 1) +
        " mm (front left and rear right high): the weights are those on these pads, and other ones on level "
        "pads; level says by how much.");
}

void height_notes(Notes& notes, const Readings& readings, const Car& car, const Measured& measured) {
    Notes missing;
    for (const RideHeightPoint& point : car.ride_heights)
        if (!readings.ride_heights_mm.contains(point.name)) missing.push_back(point.name);
    if (!missing.empty()) notes.push_back("Ride height: not read at " + joined(missing) + ".");
    if (measured.ground.from == GroundFrom::drawn_contacts)
        notes.emplace_back(
            "Fewer than three ride heights that span a plane were read: the ground is the plane through the "
            "four contacts as drawn.");
    const bool from_skid = std::ranges::any_of(car.ride_heights, [&](const RideHeightPoint& point) {
        return point.from == HeightFrom::skid && readings.ride_heights_mm.contains(point.name);
    });
    if (from_skid && readings.skid_mm)
        notes.push_back("Heights from the skid are those of a new one: " +
                        fixed_words(std::max(0.0, *car.skid_new_mm - *readings.skid_mm), 1) +
                        " mm are worn off, and taken off.");
    else if (from_skid && car.skid_new_mm)
        notes.emplace_back("skid_mm was not read: heights from the skid are taken as those of a new one.");
    if (!readings.heights_from_pads && !readings.pad_height_mm && !readings.ride_heights_mm.empty())
        notes.emplace_back(
            "Ride heights were read from the plate and the pads were not read: nothing is taken off for them.");
    missing_at(notes, "Weight:", [&](std::size_t c) { return readings.corners[c].scale_kg.has_value(); });
}

std::optional<std::chrono::sys_days> day_of(const std::string& iso) {
    int year = 0;
    unsigned month = 0;
    unsigned day = 0;
    const auto number = [&iso](std::size_t at, std::size_t digits, auto& into) {
        return std::from_chars(iso.data() + at, iso.data() + at + digits, into).ec == std::errc();
    };
    const bool shaped = iso.size() >= 10 && iso[4] == '-' && iso[7] == '-';
    if (!shaped || !number(0, 4, year) || !number(5, 2, month) || !number(8, 2, day)) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year{year}, std::chrono::month{month}, std::chrono::day{day}};
    return date.ok() ? std::optional<std::chrono::sys_days>(date) : std::nullopt;
}

}  // namespace

std::optional<int> days_over(const CamberGauge& gauge, const Readings& readings) {
    const bool checked = readings.gauge_check_deg && readings.gauge_check_deg->turned;
    const auto days = days_between(gauge.checked, readings.at);
    if (checked || !gauge.valid_days || !days || *days <= *gauge.valid_days) return std::nullopt;
    return *days - *gauge.valid_days;
}

std::optional<int> days_between(const std::string& from, const std::string& to) {
    const auto a = day_of(from), b = day_of(to);
    if (!a || !b) return std::nullopt;
    return static_cast<int>((*b - *a).count());
}

Notes reading_notes(const Readings& readings, const Car& car, const Measured& measured) {
    Notes notes;
    state_notes(notes, readings, car);
    toe_notes(notes, readings, car);
    gauge_notes(notes, readings, car, measured);
    height_notes(notes, readings, car, measured);
    twist_notes(notes, readings, car, measured);
    return notes;
}

}  // namespace shimwise
