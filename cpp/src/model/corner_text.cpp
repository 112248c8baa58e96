#include "model/corner_text.hpp"

#include <cmath>

#include "files/toml_text.hpp"
#include "model/step_words.hpp"

namespace shimwise {
namespace {

using files::TomlTable;

std::string name_of(Point point) { return std::string(point_names[index(point)]); }

/// "outer" of "track_rod.outer"
std::string_view end_of(Point point) {
    const std::string_view name = point_names[index(point)];
    return name.substr(name.find('.') + 1);
}

TomlTable part(const Corner& corner, std::initializer_list<Point> points) {
    TomlTable table;
    for (const Point point : points)
        if (corner.has(point)) table.put(end_of(point), corner.at(point));
    return table;
}

TomlTable wheel(const Corner& corner) {
    TomlTable table;
    table.put("centre", corner.at(Point::wheel_centre));
    table.put("toe_deg", corner.toe_deg);
    table.put("camber_deg", corner.camber_deg);
    return table;
}

TomlTable spring(const Corner& corner) {
    const Spring& spring = corner.spring;
    TomlTable table = part(corner, {Point::spring_outer, Point::spring_chassis});
    if (!corner.has_rocker()) table.put("outer_on", body_names[index(corner.spring_outer_on)]);
    table.put("rate_N_per_mm", spring.rate_N_per_mm);
    if (spring.load_at_drawn_N) table.put("load_at_drawn_N", *spring.load_at_drawn_N);
    if (spring.free_length_mm) {
        table.put("free_length_mm", *spring.free_length_mm);
        table.put("seat_gap_mm", spring.seat_gap_mm);
    }
    if (spring.rests_as_drawn) table.put("rests_as_drawn", true);
    return table;
}

void put_links(const Corner& corner, TomlTable& all) {
    all.put("upper_wishbone",
            part(corner, {Point::upper_wishbone_front, Point::upper_wishbone_rear, Point::upper_wishbone_outer}));
    all.put("lower_wishbone",
            part(corner, {Point::lower_wishbone_front, Point::lower_wishbone_rear, Point::lower_wishbone_outer}));
    TomlTable track_rod = part(corner, {Point::track_rod_inner, Point::track_rod_outer});
    track_rod.put("inner_moves", std::string_view(corner.rack_direction ? "rack" : "fixed"));
    all.put("track_rod", track_rod);
    if (corner.has_rocker()) {
        TomlTable pushrod = part(corner, {Point::pushrod_outer, Point::pushrod_inner});
        pushrod.put("outer_on", body_names[index(corner.pushrod_outer_on)]);
        all.put("pushrod", pushrod);
        TomlTable rocker = part(corner, {Point::rocker_axis_point, Point::rocker_spring, Point::rocker_drop_link});
        rocker.put("axis_direction", corner.rocker_axis);
        all.put("rocker", rocker);
    }
    if (corner.has(Point::drop_link_outer)) {
        TomlTable drop_link = part(corner, {Point::drop_link_outer});
        drop_link.put("outer_on", body_names[index(corner.drop_link_outer_on)]);
        all.put("drop_link", drop_link);
    }
}

void put_stops(const Corner& corner, TomlTable& all) {
    if (corner.damper) {
        TomlTable damper;
        damper.put("shortest_mm", corner.damper->shortest_mm);
        damper.put("longest_mm", corner.damper->longest_mm);
        all.put("damper", damper);
    }
    if (corner.bump_rubber) {
        TomlTable rubber;
        rubber.put("gap_mm", corner.bump_rubber->gap_mm);
        rubber.put("force_N_at_mm", corner.bump_rubber->force_N_at_mm);
        all.put("bump_rubber", rubber);
    }
    if (corner.helper) {
        TomlTable helper;
        helper.put("rate_N_per_mm", corner.helper->rate_N_per_mm);
        helper.put("closes_at_mm", corner.helper->closes_at_mm);
        all.put("helper", helper);
    }
}

void put_thread(const Thread& thread, TomlTable& table) {
    if (thread.designation.empty())
        table.put("pitch_mm", thread.pitch_mm);
    else
        table.put("thread", thread.designation);
    table.put("ends", ends_names[static_cast<std::size_t>(thread.ends)]);
    if (thread.ends == Ends::same_hand) table.put("second_pitch_mm", thread.second_pitch_mm);
    if (thread.left_hand) table.put("left_hand", rod_end_names[index(*thread.left_hand)]);
    table.put("locks", step_word(thread.lock_turns));
    if (thread.lock_turns == 0.0) table.put("counted_in", step_word(thread.step_turns));
    table.put("now_turns", thread.now_turns);
    table.put("settable_turns", thread.settable_turns);
    if (thread.limits_turns) table.put("limits_turns", *thread.limits_turns);
    if (thread.length_limits_mm) table.put("length_limits_mm", *thread.length_limits_mm);
    if (!thread.engaged_mm) return;
    if (thread.ends == Ends::one)
        table.put("engaged_mm", thread.engaged_mm->first);
    else
        table.put("engaged_mm", *thread.engaged_mm);
    table.put("least_engaged_mm", thread.least_engaged_mm);
}

void put_stack(const Stack& stack, TomlTable& table) {
    table.put("drawn_with_mm", stack.drawn_with_mm);
    table.put("fitted_mm", stack.fitted_mm);
    if (stack.box.empty())
        table.put("box_mm", stack.box_mm);
    else
        table.put("box", stack.box);
    if (stack.limits_mm) table.put("limits_mm", *stack.limits_mm);
    table.put("thickness_uncertainty_mm", stack.thickness_uncertainty_mm);
}

void put_changes(const Corner& corner, const Adjuster& adjuster, TomlTable& table) {
    if (const auto length = adjuster.length()) {
        table.put("changes", length_names[index(*length)]);
        return;
    }
    std::vector<std::string> moves;
    for (const Change& change : adjuster.changes) moves.push_back(name_of(std::get<Point>(change.what)));
    table.put("moves", moves);
    const Change& first = adjuster.changes.front();
    const bool upright = corner.carrier(std::get<Point>(first.what)) == Body::upright;
    table.put("on", std::string_view(upright ? "upright" : "chassis"));
    table.put("direction", first.per_mm);
}

std::string adjuster_text(const Corner& corner, const Adjuster& adjuster) {
    TomlTable table;
    table.put("name", adjuster.name);
    put_changes(corner, adjuster, table);
    table.put("purpose", purpose_names[index(adjuster.purpose)]);
    if (const Thread* thread = adjuster.thread())
        put_thread(*thread, table);
    else
        put_stack(*adjuster.stack(), table);
    table.put("minutes", adjuster.minutes);
    return "\n[[" + std::string(corner_names[index(corner.id)]) + ".adjuster]]\n" + table.lines();
}

}  // namespace

std::string corner_text(const Corner& corner) {
    TomlTable all;
    all.put("wheel", wheel(corner));
    put_links(corner, all);
    all.put("spring", spring(corner));
    put_stops(corner, all);
    std::string text = "\n[" + std::string(corner_names[index(corner.id)]) + "]\n" + all.lines();
    for (const Adjuster& adjuster : corner.adjusters) text += adjuster_text(corner, adjuster);
    return text;
}

}  // namespace shimwise
