#include "workshop/files/again.hpp"

#include <algorithm>

#include "workshop/files/instruments_read.hpp"
#include "workshop/files/repeated.hpp"

namespace shimwise {
namespace {

using files::Table;

/// Calls of(name, value) for every reading that averages over sets.
template <class Of>
void each(Readings& readings, const Of& of) {
    for (std::size_t c = 0; c < corner_count; ++c) {
        const std::string at = std::string(corner_names[c]) + ".";
        CornerReadings& corner = readings.corners[c];
        if (corner.flags_mm) {
            of(at + "flags.front", corner.flags_mm->front_mm);
            of(at + "flags.rear", corner.flags_mm->rear_mm);
        }
        if (corner.camber_deg) {
            of(at + "camber.facing", corner.camber_deg->facing);
            if (corner.camber_deg->turned) of(at + "camber.turned", *corner.camber_deg->turned);
        }
        if (corner.scale_kg) of(at + "scale", *corner.scale_kg);
    }
}

std::string height_key(const std::string& point) { return "ride_height." + point; }

std::map<std::string, std::vector<double>> all_of(Readings& set) {
    std::map<std::string, std::vector<double>> all;
    each(set, [&](const std::string& reading, double value) {
        const auto found = set.repeated.find(reading);
        all[reading] = found == set.repeated.end() ? std::vector{value} : found->second;
    });
    for (const auto& [point, mm] : set.ride_heights_mm) all[height_key(point)] = mm;
    return all;
}

/// What the settling of the whole car moves together averages only where all of it was read anew.
template <class Has>
void demand_all_or_none(Table& table, const char* key, const Readings& sheet, const Readings& set, const Has& has) {
    const auto read = [&has](const CornerReadings& corner) { return has(corner); };
    if (std::ranges::none_of(set.corners, read)) return;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const std::string field = table.field(corner_names[c]) + "." + key;
        if (has(set.corners[c]) && !has(sheet.corners[c]))
            table.report().add(table.place(), field, "was not read in the sheet itself");
        else if (has(sheet.corners[c]) && !has(set.corners[c]))
            table.report().add(table.place(), field,
                               "is missing: what the sheet has of all wheels is read anew at each of them or at none");
    }
}

void demand_what_the_sheet_has(Table& table, const Readings& sheet, const Readings& set) {
    demand_all_or_none(table, "flags_mm", sheet, set, [](const CornerReadings& c) { return c.flags_mm.has_value(); });
    demand_all_or_none(table, "scale_kg", sheet, set, [](const CornerReadings& c) { return c.scale_kg.has_value(); });
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto &of_sheet = sheet.corners[c].camber_deg, &of_set = set.corners[c].camber_deg;
        const std::string field = table.field(corner_names[c]) + ".camber_deg";
        if (of_set && !of_sheet)
            table.report().add(table.place(), field, "was not read in the sheet itself");
        else if (of_set && of_set->turned.has_value() != of_sheet->turned.has_value())
            table.report().add(table.place(), field, "is read the same ways round as in the sheet itself");
    }
    for (const auto& [point, mm] : set.ride_heights_mm)
        if (!sheet.ride_heights_mm.contains(point))
            table.report().add(table.place(), table.field("ride_heights_mm") + "." + point,
                               "was not read in the sheet itself");
}

Readings read_set(Table& table, const Car& car, const Readings& sheet) {
    Readings set;
    read_ride_heights(table.table("ride_heights_mm"), car, set);
    for (std::size_t c = 0; c < corner_count; ++c) {
        Table corner = table.table(corner_names[c]);
        read_corner_instruments(corner, car, static_cast<CornerId>(c), set);
        corner.close();
    }
    table.close();
    demand_a_car_on_scales(table, set);
    demand_what_the_sheet_has(table, sheet, set);
    if (all_of(set).empty()) table.report().add(table.place(), table.field(), "nothing was read");
    return set;
}

double mean_of_means(const std::vector<std::vector<double>>& sets) {
    std::vector<double> means;
    for (const std::vector<double>& set : sets)
        if (!set.empty()) means.push_back(mean(set));
    return mean(means);
}

}  // namespace

void read_again(Table& root, const Car& car, Readings& readings) {
    std::vector<Table> tables = root.tables("again");
    if (tables.empty()) {
        const files::Value* given = root.find("again");
        if (given && given->kind == files::Value::Kind::list && given->items.empty())
            root.problem("again", "is an empty list");
        return;
    }
    for (const auto& [reading, all] : all_of(readings)) readings.anew[reading] = {all};
    for (Table& table : tables) {
        Readings set = read_set(table, car, readings);
        auto all = all_of(set);
        for (auto& [reading, sets] : readings.anew) sets.push_back(all[reading]);
    }
    each(readings,
         [&](const std::string& reading, double& value) { value = mean_of_means(readings.anew.at(reading)); });
    for (auto& [point, mm] : readings.ride_heights_mm)
        if (!mm.empty()) mm = {mean_of_means(readings.anew.at(height_key(point)))};
}

}  // namespace shimwise
