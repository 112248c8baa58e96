#include <algorithm>
#include <cmath>

#include "files/shown.hpp"
#include "files/table.hpp"
#include "files/text.hpp"
#include "files/toml_reader.hpp"
#include "model/adjuster_file.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/files/readings.hpp"
#include "workshop/files/again.hpp"
#include "workshop/files/gauge_checks.hpp"
#include "workshop/files/instruments_read.hpp"

namespace shimwise {
namespace {

using files::Table;
using files::Wanted;

void read_state(Table table, const Car& car, Readings& readings) {
    std::vector<std::string> ballasts;
    for (const Ballast& ballast : car.ballast) ballasts.push_back(ballast.name);
    Table ballast = table.table("ballast_kg");
    for (const std::string& name : ballast.names_among(ballasts, "ballast of the car")) {
        double& kg = readings.ballast_kg[name];
        if (ballast.read(name, kg) && !(kg >= 0.0)) ballast.problem(name, "must not be negative");
    }
    if (BarsWere bars{}; table.choice("bars", bars_were_names, bars)) readings.bars = bars;
    if (const auto rack = table.choice_index("rack", {"locked at centre", "free"}, Wanted::optional))
        readings.rack_locked = *rack == 0;
    if (const auto struts = table.choice_index("struts", {"springs", "solid"}, Wanted::optional))
        readings.struts_solid = *struts == 1;
    if (const auto from = table.choice_index("heights_from", {"pads", "plate"}, Wanted::optional))
        readings.heights_from_pads = *from == 0;
    table.close();
}

void read_instrument_names(Table table, InstrumentNames& names) {
    const auto read = [&table](std::string_view key, std::string& into) {
        if (table.read(key, into) && into.empty()) table.problem(key, "is empty: a name is needed, or no such line");
    };
    read("strings", names.strings);
    read("camber_gauge", names.camber_gauge);
    read("scale", names.scale);
    table.close();
}

void read_string(Table table, std::optional<std::array<double, 2>>& into) {
    if (!table.given()) return;
    std::array<double, 2> sides{};
    const std::array<std::string_view, 2> keys = {"left", "right"};
    for (std::size_t i = 0; i < 2; ++i)
        if (table.read(keys[i], sides[i], Wanted::required) && !(sides[i] > 0.0))
            table.problem(keys[i], "must be more than 0");
    table.close();
    into = sides;
}

void read_strings(Table table, const Car& car, Readings& readings) {
    if (table.given() && !(car.strings.bars_apart_mm > 0.0))
        table.report().add(table.place(), table.field(), "the car file gives no [strings] bars_apart_mm");
    read_string(table.table("front_bar_mm"), readings.front_bar_mm);
    read_string(table.table("rear_bar_mm"), readings.rear_bar_mm);
    if (table.given() && table.has("front_bar_mm") != table.has("rear_bar_mm"))
        table.problem(table.has("front_bar_mm") ? "front_bar_mm" : "rear_bar_mm",
                      "front_bar_mm and rear_bar_mm are given together: one alone does not say how a string runs");
    table.close();
}

constexpr double far_mm = 1000.0;  // as pads.cpp has it for a car that is set on them by a call

std::optional<PadStep> read_pad_step(Table& table) {
    PadStep step;
    const bool from = table.choice("from", corner_names, step.from, Wanted::required);
    const bool to = table.choice("to", corner_names, step.to, Wanted::required);
    const bool up = table.read("up", step.up_mm, Wanted::required);
    table.close();
    if (!from || !to || !up) return std::nullopt;
    if (step.from == step.to)
        table.problem("to", "a step leads from one pad to another");
    else if (!(std::abs(step.up_mm) <= far_mm))
        table.problem("up", "goes beyond " + files::shown(far_mm) + " mm");
    else
        return step;
    return std::nullopt;
}

bool same_pair(const PadStep& a, const PadStep& b) {
    return (a.from == b.from && a.to == b.to) || (a.from == b.to && a.to == b.from);
}

/// Whether all steps could be read.
bool read_steps(Table& table, std::vector<PadStep>& steps) {
    const files::Value* given = table.find("steps_mm");
    std::vector<Table> tables = table.tables("steps_mm");
    bool good = given && given->kind == files::Value::Kind::list && given->items.size() == tables.size();
    for (Table& one : tables) {
        const auto step = read_pad_step(one);
        const bool twice = step && std::ranges::any_of(steps, [&](const PadStep& s) { return same_pair(s, *step); });
        if (twice) one.problem("to", "this pair of pads stands above already: write the mean of both readings");
        good = good && step && !twice;
        if (step) steps.push_back(*step);
    }
    return good;
}

void read_pad_steps(Table& table, Readings& readings) {
    std::vector<PadStep>& steps = readings.pad_steps;
    if (!read_steps(table, steps)) return;
    if (const std::vector<CornerId> missing = pads_not_reached(steps); !missing.empty()) {
        std::string names;
        for (const CornerId id : missing) names += (names.empty() ? "" : ", ") + std::string(corner_names[index(id)]);
        table.problem("steps_mm", "no step ties front_left to " + names + ": steps must lead to all four pads");
        return;
    }
    if (!readings.heights_from_pads)
        table.problem("steps_mm",
                      "steps say nothing of heights over the plate: with heights_from = \"plate\" give height_mm");
    Eigen::VectorXd up_mm(static_cast<Eigen::Index>(steps.size()));
    std::ranges::transform(steps, up_mm.begin(), &PadStep::up_mm);
    const Eigen::VectorXd heights_mm = pads_by_steps(steps) * up_mm;
    std::ranges::copy(heights_mm, readings.pad_height_mm.emplace().begin());
}

void read_pads(Table table, const Car& car, Readings& readings) {
    demand_instrument(table, "height_mm", car.instruments.pad_level.resolution_mm, "pad_level");
    demand_instrument(table, "steps_mm", car.instruments.pad_level.resolution_mm, "pad_level");
    if (Table heights = table.table("height_mm"); heights.given()) {
        std::array<double, corner_count> mm{};
        for (std::size_t i = 0; i < corner_count; ++i) {
            if (heights.read(corner_names[i], mm[i], Wanted::required) && !(std::abs(mm[i]) <= far_mm))
                heights.problem(corner_names[i], "goes beyond " + files::shown(far_mm) + " mm");
        }
        heights.close();
        readings.pad_height_mm = mm;
    }
    if (table.not_both("height_mm", "steps_mm")) read_pad_steps(table, readings);
    table.read("packing_mm", readings.packing_mm);
    for (const double thickness : readings.packing_mm)
        if (!(thickness > 0.0)) {
            table.problem("packing_mm", "packing is thicker than 0 mm");
            break;
        }
    table.close();
}

void read_skid(Table& root, const Car& car, Readings& readings) {
    if (!root.read("skid_mm", readings.skid_mm)) return;
    constexpr double swollen_mm = 0.5;
    if (!car.skid_new_mm)
        root.problem("skid_mm", "the car file gives no skid_new_mm: what is worn off is not known");
    else if (!(*readings.skid_mm > 0.0 && *readings.skid_mm <= *car.skid_new_mm + swollen_mm))
        root.problem("skid_mm", "must be more than 0 and no thicker than the new skid's " +
                                    files::shown(*car.skid_new_mm) + " mm");
    demand_instrument(root, "skid_mm", car.instruments.height_gauge.resolution_mm, "height_gauge");
}

void read_shims(Table table, const Corner& corner, CornerReadings& readings) {
    std::vector<std::string> stacks;
    for (const Adjuster& adjuster : corner.adjusters)
        if (adjuster.stack()) stacks.push_back(adjuster.name);
    for (const std::string& name : table.names_among(stacks, "stack of shims of this corner")) {
        std::vector<double>& fitted = readings.shims_mm[name];
        if (!table.read(name, fitted)) continue;
        for (const double thickness : fitted)
            if (const std::string fault = shim_fault(thickness); !fault.empty()) {
                table.problem(name, fault);
                break;
            }
    }
}

void read_lengths(Table table, const Car& car, const Corner& corner, CornerReadings& readings) {
    std::vector<std::string> known;
    for (std::size_t i = 0; i < length_count; ++i) {
        const auto length = static_cast<Length>(i);
        if (length != Length::spring_platform && has_length(corner, length)) known.emplace_back(length_names[i]);
    }
    for (const std::string& name : table.names_among(known, "length of this corner")) {
        const Length length = *named<Length>(length_names, name);
        double mm = 0.0;
        if (!table.read(name, mm)) continue;
        const double drawn_mm = drawn_length_mm(car, corner.id, length).value_or(mm);
        constexpr double most_off_mm = 50.0;
        if (!(mm > 0.0))
            table.problem(name, "must be more than 0");
        else if (!(std::abs(mm - drawn_mm) <= most_off_mm))
            table.problem(name, "is more than " + files::shown(most_off_mm) + " mm from the drawn " +
                                    files::shown(drawn_mm) + " mm");
        readings.lengths_mm[length] = mm;
    }
}

void read_corner_readings(Table table, const Car& car, CornerId id, Readings& readings) {
    const Corner& corner = car[id];
    CornerReadings& read = readings.corners[index(id)];
    read_corner_instruments(table, car, id, readings);
    read_shims(table.table("shims_mm"), corner, read);
    read_lengths(table.table("lengths_mm"), car, corner, read);
    table.close();
}

}  // namespace

std::size_t Readings::sets(const std::string& reading) const {
    const auto found = anew.find(reading);
    if (found == anew.end()) return 1;
    return static_cast<std::size_t>(std::ranges::count_if(found->second, [](const auto& set) { return !set.empty(); }));
}

double Readings::times(const std::string& reading) const {
    if (const auto found = anew.find(reading); found != anew.end()) {
        double shares = 0.0;
        for (const std::vector<double>& set : found->second)
            if (!set.empty()) shares += 1.0 / static_cast<double>(set.size());
        return std::pow(static_cast<double>(sets(reading)), 2) / shares;
    }
    const auto found = repeated.find(reading);
    return found == repeated.end() ? 1.0 : static_cast<double>(found->second.size());
}

Readings readings_from(const Source& source, const Car& car) {
    const files::Document document = files::read_toml(source, "readings");
    files::Report report(source);
    Table root(&document.root, "", report);
    Readings readings;
    std::string format;
    readings.file = source.name;
    readings.origin = document.origin;
    readings.text = files::read_text(source).utf8;
    root.read("format", format);
    root.read("place", readings.place);
    root.read_date("at", readings.at, true);
    root.read("remarks", readings.remarks);
    read_instrument_names(root.table("instruments"), readings.instruments);
    read_state(root.table("state"), car, readings);
    read_strings(root.table("strings"), car, readings);
    read_pads(root.table("pads"), car, readings);
    read_ride_heights(root.table("ride_heights_mm"), car, readings);
    read_skid(root, car, readings);
    read_gauge_checks(root, readings);
    for (std::size_t i = 0; i < corner_count; ++i)
        read_corner_readings(root.table(corner_names[i]), car, static_cast<CornerId>(i), readings);
    demand_a_car_on_scales(root, readings);
    read_again(root, car, readings);
    root.close();
    report.throw_if_any();
    return readings;
}

}  // namespace shimwise
