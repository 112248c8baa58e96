#include "shimwise/model/car_file.hpp"

#include "files/toml_reader.hpp"
#include "model/corner_file.hpp"
#include "model/findings.hpp"
#include "model/instruments_file.hpp"
#include "model/right_side.hpp"
#include "model/whole_car_file.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/model/check.hpp"

namespace shimwise {
namespace {

using files::Table;
using files::Wanted;

constexpr std::array<std::string_view, 2> axle_names = {"front", "rear"};

void read_setup_wheels(Table table, std::array<AxleParts, 2>& axles) {
    for (std::size_t i = 0; i < 2; ++i) {
        SetupWheel& wheel = axles[i].wheel;
        Table side = table.table(axle_names[i], Wanted::required);
        side.read("radius_mm", wheel.radius_mm, Wanted::required);
        side.read("width_mm", wheel.width_mm);
        side.read("offset_mm", wheel.offset_mm);
        side.read("flag_span_mm", wheel.flag_span_mm);
        side.read("flags_out_mm", wheel.flags_out_mm);
        side.close();
    }
    table.close();
}

void read_tyres(Table table, std::array<AxleParts, 2>& axles) {
    for (std::size_t i = 0; i < 2; ++i) {
        Table side = table.table(axle_names[i]);
        if (!side.given()) continue;
        Tyre& tyre = axles[i].tyre.emplace();
        side.read("loaded_radius_mm", tyre.loaded_radius_mm, Wanted::required);
        side.read("rate_N_per_mm", tyre.rate_N_per_mm);
        side.close();
    }
    table.close();
}

void read_unsprung(Table& mass, std::array<AxleParts, 2>& axles) {
    Table kg = mass.table("unsprung_kg", Wanted::required);
    Table cg = mass.table("unsprung_cg_mm");
    for (std::size_t i = 0; i < 2; ++i) {
        kg.read(axle_names[i], axles[i].unsprung_kg, Wanted::required);
        cg.read(axle_names[i], axles[i].unsprung_cg_mm);
    }
    kg.close();
    cg.close();
}

void read_rake(Table table, Car& car) {
    std::vector<std::string> names;
    for (const RideHeightPoint& point : car.ride_heights) names.push_back(point.name);
    const auto read = [&](std::string_view key, std::string& into) {
        if (!table.read(key, into, Wanted::required)) return;
        for (const std::string& name : names)
            if (name == into) return;
        table.problem(key, "is no ride-height point" + did_you_mean(into, names));
    };
    read("front", car.rake_front);
    read("rear", car.rake_rear);
    table.close();
}

void read_corners(Table& root, const std::array<AxleParts, 2>& axles, Car& car) {
    std::vector<std::string> boxes;
    for (const auto& [name, shims] : car.boxes_mm) boxes.push_back(name);
    for (const CornerId left_id : {CornerId::front_left, CornerId::rear_left}) {
        const AxleParts& axle = axles[is_front(left_id) ? 0 : 1];
        const CornerId right_id = is_front(left_id) ? CornerId::front_right : CornerId::rear_right;
        const Table left = root.table(corner_names[index(left_id)], Wanted::required);
        const Table right = root.table(corner_names[index(right_id)]);
        if (!left.given()) continue;
        const files::Value merged = right_corner(*left.value(), right.value());
        const Table both(&merged, std::string(corner_names[index(right_id)]), root.report());
        car[left_id] = read_corner(left, left_id, axle, car.rack, boxes);
        car[right_id] = read_corner(both, right_id, axle, car.rack, boxes);
    }
}

void read_weighed(Table table, Car& car) {
    std::optional<Weighing>& weighing = car.mass.weighing;
    if (table.given() && !weighing)
        table.report().add(table.place(), table.field(), "is only for a car whose mass is given by scales_kg");
    Table amounts_mm = table.table("amounts_mm");
    std::array<Table, 2> bars = {table.table("front_bar"), table.table("rear_bar")};
    table.close();
    if (!weighing) return;
    *weighing = weighed(car, weighing->kg);
    std::vector<std::string> known;
    for (const Corner& corner : car.corners)
        for (const Adjuster& adjuster : corner.adjusters) known.push_back(corner_field(corner.id, adjuster.name));
    for (const std::string& key : amounts_mm.names_among(known, "adjuster of the car")) {
        const auto dot = key.find('.');
        const auto corner = named<CornerId>(corner_names, key.substr(0, dot));
        amounts_mm.read(key, weighing->amounts_mm[index(*corner)][*car[*corner].find(key.substr(dot + 1))]);
    }
    for (std::size_t i = 0; i < 2; ++i) {
        if (!bars[i].given()) continue;
        std::optional<Bar>& bar = weighing->bars[i];
        if (!bar) {
            bars[i].report().add(bars[i].place(), bars[i].field(), "the car has none");
            continue;
        }
        bars[i].read("connected", bar->connected, Wanted::required);
        std::vector<std::string> blades;
        for (const auto& [name, rate] : bar->blades_Nm_per_deg) blades.push_back(name);
        if (const auto blade = bars[i].choice_index("blade", blades, Wanted::optional)) {
            bar->blade = blades[*blade];
            bar->rate_Nm_per_deg = bar->blades_Nm_per_deg[bar->blade];
        }
        bars[i].close();
    }
}

void read_built_off(Table table, Car& car) {
    std::vector<std::string> known;
    for (const Corner& corner : car.corners)
        for (const std::string& point : corner.point_names()) known.push_back(corner_field(corner.id, point));
    for (const std::string& key : table.names_among(known, "point of the car")) {
        const auto dot = key.find('.');
        const auto corner = named<CornerId>(corner_names, key.substr(0, dot));
        const auto point = named<Point>(point_names, key.substr(dot + 1));
        table.read(key, car[*corner].built_off_mm[index(*point)]);
    }
}

Car read_car(Table root) {
    Car car;
    std::string format;
    std::array<AxleParts, 2> axles;
    root.read("format", format);
    root.read("name", car.name, Wanted::required);
    root.read("chassis_twist_Nm_per_deg", car.chassis_twist_Nm_per_deg);
    root.read("skid_new_mm", car.skid_new_mm);
    Table mass = root.table("mass", Wanted::required);
    car.mass = read_mass(mass);
    read_unsprung(mass, axles);
    mass.close();
    car.ballast = read_ballast(root);
    read_setup_wheels(root.table("setup_wheel", Wanted::required), axles);
    read_tyres(root.table("tyre"), axles);
    car.strings = read_strings(root.table("strings"));
    car.ride_heights = read_ride_heights(root.table("ride_height_points"));
    read_rake(root.table("rake"), car);
    car.rack = read_rack(root.table("rack"));
    car.bars = {read_bar(root.table("front_bar")), read_bar(root.table("rear_bar"))};
    car.thirds = {read_third(root.table("front_third")), read_third(root.table("rear_third"))};
    car.boxes_mm = read_boxes(root.table("shims"));
    read_corners(root, axles, car);
    read_built_off(root.table("built_off_mm"), car);
    read_weighed(root.table("weighed"), car);
    car.instruments = read_instruments(root.table("instruments"));
    car.settling = read_settling(root.table("settling"));
    car.known = read_known(root.table("known"));
    root.close();
    return car;
}

}  // namespace

Car car_from(const Source& source) {
    const files::Document document = files::read_toml(source, "car");
    files::Report report(source);
    Car car = read_car(Table(&document.root, "", report));
    car.file = source.name;
    car.origin = document.origin;
    for (const Problem& problem : check(car)) report.add_sense(problem);
    report.throw_if_any();
    return car;
}

}  // namespace shimwise
