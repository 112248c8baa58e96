#include "model/whole_car_file.hpp"

#include <tuple>

#include "shimwise/files/did_you_mean.hpp"

namespace shimwise {
namespace {

using files::Table;
using files::Value;
using files::Wanted;

/// `right` over the mirrored `left`; either may be null.
std::optional<Value> right_over_left(const Value* left, const Value* right) {
    if (!left && !right) return std::nullopt;
    Value result = left ? files::mirrored(*left) : *right;
    if (left && right) files::lay_over(result, *right);
    return result;
}

}  // namespace

Mass read_mass(Table& table) {
    Mass mass;
    table.read("total_kg", mass.total_kg, Wanted::required);
    table.not_both("cg_mm", "scales_kg");
    if (table.given() && !table.has("cg_mm") && !table.has("scales_kg"))
        table.problem("cg_mm", "is missing: needs cg_mm, or scales_kg with cg_height_mm");
    table.read("cg_mm", mass.cg_mm);
    if (Table scales = table.table("scales_kg"); scales.given()) {
        std::array<double, corner_count> kg{};
        for (std::size_t i = 0; i < corner_count; ++i) scales.read(corner_names[i], kg[i], Wanted::required);
        scales.close();
        mass.weighing = Weighing{kg, {}, {}};
        table.read("cg_height_mm", mass.cg_height_mm, Wanted::required);
    }
    return mass;
}

std::vector<Ballast> read_ballast(Table& car) {
    std::vector<Ballast> all;
    for (Table& table : car.tables("ballast")) {
        Ballast ballast;
        table.read("name", ballast.name, Wanted::required);
        table.read("at_mm", ballast.at_mm, Wanted::required);
        table.read("now_kg", ballast.now_kg, Wanted::required);
        for (const Ballast& other : all)
            if (other.name == ballast.name) table.problem("name", "is the name of two ballasts");
        table.close();
        all.push_back(ballast);
    }
    return all;
}

std::optional<Rack> read_rack(Table table) {
    if (!table.given()) return std::nullopt;
    Rack rack;
    std::pair<double, double> travel_mm;
    table.read_direction("direction", rack.direction, Wanted::required);
    if (table.read("travel_mm", travel_mm, Wanted::required)) std::tie(rack.least_mm, rack.most_mm) = travel_mm;
    table.read("mm_per_turn", rack.mm_per_turn);
    table.close();
    return rack;
}

std::map<std::string, std::vector<double>> read_boxes(Table table) {
    std::map<std::string, std::vector<double>> boxes;
    const std::string unit = "_mm";
    for (const std::string& key : table.names()) {
        if (key.size() <= unit.size() || key.substr(key.size() - unit.size()) != unit) {
            table.problem(key, "a box of shims is written name_mm = [..]");
            continue;
        }
        table.read(key, boxes[key.substr(0, key.size() - unit.size())]);
    }
    return boxes;
}

std::vector<RideHeightPoint> read_ride_heights(Table table) {
    std::vector<RideHeightPoint> points;
    const auto read = [&](Table one, const std::string& name) {
        RideHeightPoint point;
        point.name = name;
        one.read("at_mm", point.at_mm, Wanted::required);
        one.choice("from", height_from_names, point.from, Wanted::required);
        one.close();
        points.push_back(point);
    };
    const std::string left_end = "_left", right_end = "_right";
    for (const std::string& name : table.names()) {
        const bool left = name.size() > left_end.size() && name.substr(name.size() - left_end.size()) == left_end;
        const bool right = name.size() > right_end.size() && name.substr(name.size() - right_end.size()) == right_end;
        const std::string stem = name.substr(0, name.size() - (left ? left_end : right_end).size());
        if (right && table.has(stem + left_end)) continue;
        read(table.table(name), name);
        if (!left) continue;
        const std::string mirror_name = stem + right_end;
        const auto value = right_over_left(table.find(name), table.find(mirror_name));
        read(Table(&*value, table.field(mirror_name), table.report()), mirror_name);
    }
    return points;
}

std::optional<Bar> read_bar(Table table) {
    if (!table.given()) return std::nullopt;
    Bar bar;
    const Table left = table.table("left", Wanted::required);
    table.table("right");
    const auto right = right_over_left(left.value(), table.find("right"));
    const std::array<Table, 2> sides = {left, Table(right ? &*right : nullptr, table.field("right"), table.report())};
    for (std::size_t i = 0; i < 2; ++i) {
        Table side = sides[i];
        side.read("bearing", bar.bearing[i], Wanted::required);
        side.read("arm", bar.arm[i], Wanted::required);
        side.close();
    }
    table.not_both("rate_Nm_per_deg", "blades_Nm_per_deg");
    table.read("rate_Nm_per_deg", bar.rate_Nm_per_deg);
    if (!table.has("rate_Nm_per_deg") && !table.has("blades_Nm_per_deg"))
        table.problem("rate_Nm_per_deg", "is missing: needs a number, or blades_Nm_per_deg and blade");
    if (Table blades = table.table("blades_Nm_per_deg"); blades.given()) {
        std::vector<std::string> names = blades.names();
        for (const std::string& name : names) blades.read(name, bar.blades_Nm_per_deg[name]);
        const auto chosen = table.choice_index("blade", names, Wanted::required);
        if (chosen) {
            bar.blade = names[*chosen];
            bar.rate_Nm_per_deg = bar.blades_Nm_per_deg[bar.blade];
        }
    }
    table.read("connected", bar.connected, Wanted::required);
    table.close();
    return bar;
}

std::optional<Third> read_third(Table table) {
    if (!table.given()) return std::nullopt;
    Third third;
    constexpr std::array<std::string_view, 2> ways = {"push", "pull"};
    std::size_t way = 0;
    if (table.read("left", third.at_mm[0], Wanted::required))
        third.at_mm[1] = {third.at_mm[0].x, -third.at_mm[0].y, third.at_mm[0].z};
    table.read("right", third.at_mm[1]);
    table.read("rate_N_per_mm", third.rate_N_per_mm, Wanted::required);
    table.read("gap_mm", third.gap_mm, Wanted::required);
    table.choice("carries", ways, way);
    third.carries_pull = way == 1;
    table.close();
    return third;
}

}  // namespace shimwise
