#include "model/corner_file.hpp"

#include <cmath>

#include "model/adjuster_file.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/units.hpp"

namespace shimwise {
namespace {

using files::Table;
using files::Wanted;

constexpr std::array<std::string_view, 3> link_body_names = {"lower_wishbone", "upper_wishbone", "upright"};
constexpr std::array<Body, 3> link_bodies = {Body::lower_wishbone, Body::upper_wishbone, Body::upright};

void read_point(Table& table, std::string_view key, Corner& corner, Point point, Wanted wanted = Wanted::required) {
    table.read(key, corner.points[index(point)], wanted);
}

void read_body(Table& table, std::string_view key, Body& body) {
    std::size_t i = 0;
    if (table.choice(key, link_body_names, i, Wanted::required)) body = link_bodies[i];
}

// Axis = (tan toe, 1, -tan camber) made unit, outboard: toe and camber are projected angles, ISO 8855:2011, 7.1.
void read_wheel(Table table, Corner& corner) {
    double& toe_deg = corner.toe_deg;
    double& camber_deg = corner.camber_deg;
    read_point(table, "centre", corner, Point::wheel_centre);
    table.read("toe_deg", toe_deg, Wanted::required);
    table.read("camber_deg", camber_deg, Wanted::required);
    if (!(std::abs(toe_deg) < 45.0)) table.problem("toe_deg", "must lie within 45 degrees");
    if (!(std::abs(camber_deg) < 45.0)) table.problem("camber_deg", "must lie within 45 degrees");
    const double outboard = is_left(corner.id) ? 1.0 : -1.0;
    const Vec3<double> axis{std::tan(toe_deg * rad_per_deg), outboard, -std::tan(camber_deg * rad_per_deg)};
    corner.wheel_axis = axis * (1.0 / std::sqrt(squared(axis)));
    table.close();
}

void read_wishbone(Table table, Corner& corner, Point front, Point rear, Point outer) {
    read_point(table, "front", corner, front);
    read_point(table, "rear", corner, rear);
    read_point(table, "outer", corner, outer);
    table.close();
}

void read_track_rod(Table table, Corner& corner, const std::optional<Rack>& rack) {
    read_point(table, "inner", corner, Point::track_rod_inner);
    read_point(table, "outer", corner, Point::track_rod_outer);
    constexpr std::array<std::string_view, 2> names = {"rack", "fixed"};
    std::size_t moves = 1;
    if (table.choice("inner_moves", names, moves, Wanted::required) && moves == 0) {
        if (rack)
            corner.rack_direction = rack->direction;
        else
            table.problem("inner_moves", "the file has no [rack]");
    }
    table.close();
}

void read_rocker(Table pushrod, Table rocker, Corner& corner) {
    if (pushrod.given() != rocker.given()) {
        Table& lone = pushrod.given() ? pushrod : rocker;
        lone.report().add(lone.place(), lone.field(), "pushrod and rocker are given together or not at all");
    }
    read_point(pushrod, "outer", corner, Point::pushrod_outer);
    read_point(pushrod, "inner", corner, Point::pushrod_inner);
    read_body(pushrod, "outer_on", corner.pushrod_outer_on);
    pushrod.close();
    read_point(rocker, "axis_point", corner, Point::rocker_axis_point);
    rocker.read_direction("axis_direction", corner.rocker_axis, Wanted::required);
    read_point(rocker, "spring", corner, Point::rocker_spring);
    read_point(rocker, "drop_link", corner, Point::rocker_drop_link, Wanted::optional);
    rocker.close();
}

void read_spring(Table table, Corner& corner, bool rocker) {
    Spring& spring = corner.spring;
    read_point(table, "chassis", corner, Point::spring_chassis);
    table.read("rate_N_per_mm", spring.rate_N_per_mm, Wanted::required);
    if (rocker && (table.has("outer") || table.has("outer_on")))
        table.problem(table.has("outer") ? "outer" : "outer_on", "the spring's outer eye is rocker.spring here");
    if (!rocker) {
        read_point(table, "outer", corner, Point::spring_outer);
        read_body(table, "outer_on", corner.spring_outer_on);
    }
    table.read("load_at_drawn_N", spring.load_at_drawn_N);
    table.read("free_length_mm", spring.free_length_mm);
    table.read("seat_gap_mm", spring.seat_gap_mm);
    table.read("rests_as_drawn", spring.rests_as_drawn);
    if (table.has("seat_gap_mm") && !table.has("free_length_mm"))
        table.problem("seat_gap_mm", "is only for a spring given by its free_length_mm");
    const int ways = (table.has("load_at_drawn_N") ? 1 : 0) + (table.has("free_length_mm") ? 1 : 0) +
                     (spring.rests_as_drawn ? 1 : 0);
    if (table.given() && ways != 1)
        table.report().add(table.place(), table.field(),
                           std::string(ways == 0 ? "needs" : "has more than") +
                               " one of load_at_drawn_N, free_length_mm or rests_as_drawn = true");
    table.close();
}

void read_stops(Table& table, Corner& corner) {
    if (Table damper = table.table("damper"); damper.given()) {
        corner.damper.emplace();
        damper.read("shortest_mm", corner.damper->shortest_mm, Wanted::required);
        damper.read("longest_mm", corner.damper->longest_mm, Wanted::required);
        damper.close();
    }
    if (Table rubber = table.table("bump_rubber"); rubber.given()) {
        corner.bump_rubber.emplace();
        rubber.read("gap_mm", corner.bump_rubber->gap_mm, Wanted::required);
        rubber.read("force_N_at_mm", corner.bump_rubber->force_N_at_mm, Wanted::required);
        rubber.close();
    }
    if (Table helper = table.table("helper"); helper.given()) {
        corner.helper.emplace();
        helper.read("rate_N_per_mm", corner.helper->rate_N_per_mm, Wanted::required);
        helper.read("closes_at_mm", corner.helper->closes_at_mm, Wanted::required);
        helper.close();
    }
}

void read_drop_link(Table table, Corner& corner, bool rocker) {
    if (!table.given()) return;
    if (rocker)
        table.report().add(table.place(), table.field(), "is only for a corner without rocker: give rocker.drop_link");
    read_point(table, "outer", corner, Point::drop_link_outer);
    read_body(table, "outer_on", corner.drop_link_outer_on);
    table.close();
}

void read_adjusters(Table& table, Corner& corner, const std::vector<std::string>& boxes) {
    for (Table& numbered : table.tables("adjuster")) {
        const files::Value* name = numbered.find("name");
        const bool named_well = name && name->kind == files::Value::Kind::string;
        const std::string field = named_well ? adjuster_field(corner.id, name->text) : numbered.field();
        Table adjuster(numbered.value(), field, table.report());
        const Adjuster read = read_adjuster(adjuster, corner, boxes);
        if (corner.find(read.name)) adjuster.problem("name", "is the name of two adjusters of this corner");
        corner.adjusters.push_back(read);
    }
}

}  // namespace

Corner read_corner(Table table, CornerId id, const AxleParts& axle, const std::optional<Rack>& rack,
                   const std::vector<std::string>& boxes) {
    Corner corner;
    corner.id = id;
    corner.wheel = axle.wheel;
    corner.tyre = axle.tyre;
    corner.unsprung_kg = axle.unsprung_kg;
    corner.unsprung_cg_mm = axle.unsprung_cg_mm;
    if (corner.unsprung_cg_mm && !is_left(id)) corner.unsprung_cg_mm->y = -corner.unsprung_cg_mm->y;

    read_wheel(table.table("wheel", Wanted::required), corner);
    read_wishbone(table.table("upper_wishbone", Wanted::required), corner, Point::upper_wishbone_front,
                  Point::upper_wishbone_rear, Point::upper_wishbone_outer);
    read_wishbone(table.table("lower_wishbone", Wanted::required), corner, Point::lower_wishbone_front,
                  Point::lower_wishbone_rear, Point::lower_wishbone_outer);
    read_track_rod(table.table("track_rod", Wanted::required), corner, rack);
    read_rocker(table.table("pushrod"), table.table("rocker"), corner);
    const bool rocker = table.has("rocker");
    read_spring(table.table("spring", Wanted::required), corner, rocker);
    read_stops(table, corner);
    read_drop_link(table.table("drop_link"), corner, rocker);
    read_adjusters(table, corner, boxes);
    table.close();
    return corner;
}

}  // namespace shimwise
