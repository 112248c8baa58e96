#include <algorithm>
#include <cmath>
#include <numbers>

#include "shimwise/error.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/rest/solve.hpp"
#include "shimwise/units.hpp"
#include "workshop/doubt/doubting.hpp"

namespace shimwise {
namespace {

std::string axle_of(std::size_t corner) { return corner < 2 ? "front" : "rear"; }

void axles(Doubting& doubting, const Car& car) {
    doubting.number("front_left.wheel.centre", UsualOf::wheelbase, wheelbase_mm(car));
    for (std::size_t left = 0; left < corner_count; left += 2)
        doubting.number(at_corner_field(left, "wheel.centre"), UsualOf::track,
                        drawn_contact(car.corners[left]).y - drawn_contact(car.corners[left + 1]).y);
}

void masses(Doubting& doubting, const Car& car) {
    doubting.number("mass.total_kg", UsualOf::total_mass, car.mass.total_kg);
    for (std::size_t c = 0; c < corner_count; ++c)
        doubting.number("mass.unsprung_kg." + axle_of(c), UsualOf::unsprung_mass, car.corners[c].unsprung_kg);
    const double front_x = 0.5 * (drawn_contact(car.corners[0]).x + drawn_contact(car.corners[1]).x);
    const double base = wheelbase_mm(car);
    for (std::size_t i = 0; i < car.ballast.size(); ++i)
        doubting.number("ballast[" + std::to_string(i + 1) + "].at_mm", UsualOf::ballast_place,
                        (front_x - car.ballast[i].at_mm.x) / base);
    if (!car.mass.cg_mm) return;  // then the scales have it, and they are above 0
    const Vec3<double>& cg = *car.mass.cg_mm;
    doubting.number("mass.cg_mm", UsualOf::front_share, 100.0 * (1.0 - (front_x - cg.x) / base));
    doubting.number("mass.cg_mm", UsualOf::cg_off_centre, cg.y);
    double ground_z = 0.0;
    for (const Corner& corner : car.corners) ground_z += 0.25 * drawn_contact(corner).z;
    doubting.number("mass.cg_mm", UsualOf::cg_height, cg.z - ground_z);
}

void wheel(Doubting& doubting, const Corner& corner) {
    const std::string axle = axle_of(index(corner.id)), field = "setup_wheel." + axle;
    doubting.number(field + ".radius_mm", UsualOf::wheel_radius, corner.wheel.radius_mm);
    doubting.number(field + ".width_mm", UsualOf::wheel_width, corner.wheel.width_mm);
    doubting.number(field + ".offset_mm", UsualOf::wheel_offset, corner.wheel.offset_mm);
    if (corner.wheel.flag_span_mm > 0.0)
        doubting.number(field + ".flag_span_mm", UsualOf::flag_span, corner.wheel.flag_span_mm);
    if (corner.tyre) {
        doubting.number("tyre." + axle + ".loaded_radius_mm", UsualOf::tyre_radius, corner.tyre->loaded_radius_mm);
        if (corner.tyre->rate_N_per_mm)
            doubting.number("tyre." + axle + ".rate_N_per_mm", UsualOf::tyre_rate, *corner.tyre->rate_N_per_mm);
    }
    const Vec3<double>& axis = corner.wheel_axis;
    const double outboard = std::fabs(axis.y);
    doubting.number(at_corner_field(index(corner.id), "wheel.toe_deg"), UsualOf::drawn_toe,
                    std::atan(axis.x / outboard) * deg_per_rad);
    doubting.number(at_corner_field(index(corner.id), "wheel.camber_deg"), UsualOf::drawn_camber,
                    std::atan(-axis.z / outboard) * deg_per_rad);
}

void springs(Doubting& doubting, const Corner& corner) {
    const auto field = [&](std::string_view part) { return at_corner_field(index(corner.id), part); };
    doubting.number(field("spring.rate_N_per_mm"), UsualOf::spring_rate, corner.spring.rate_N_per_mm);
    if (corner.damper)
        doubting.number(field("damper"), UsualOf::damper_stroke,
                        corner.damper->longest_mm - corner.damper->shortest_mm);
    if (corner.bump_rubber)
        doubting.number(field("bump_rubber.gap_mm"), UsualOf::rubber_gap, corner.bump_rubber->gap_mm);
}

/// Degrees by which a link leans out of the plane across a unit axis.
double out_of_plane_deg(const Vec3<double>& link, const Vec3<double>& axis) {
    return std::asin(std::min(1.0, std::fabs(dot(link, axis)) / std::sqrt(squared(link)))) * deg_per_rad;
}

void rocker(Doubting& doubting, const Corner& corner) {
    if (!corner.has_rocker()) return;
    const auto number = [&](std::string_view part, UsualOf of, double value) {
        doubting.number(at_corner_field(index(corner.id), part), of, value);
    };
    const Vec3<double>& outer = corner.at(Point::pushrod_outer);
    if (corner.pushrod_outer_on != Body::upright) {
        const auto to = [&](Point joint) { return std::sqrt(squared(outer - corner.at(joint))); };
        const double to_upper = to(Point::upper_wishbone_outer), to_lower = to(Point::lower_wishbone_outer);
        number("pushrod.outer_on", UsualOf::rod_end,
               corner.pushrod_outer_on == Body::upper_wishbone ? to_upper - to_lower : to_lower - to_upper);
    }
    number("rocker.axis_direction", UsualOf::rod_to_rocker,
           out_of_plane_deg(outer - corner.at(Point::pushrod_inner), corner.rocker_axis));
    number("rocker.axis_direction", UsualOf::spring_to_rocker,
           out_of_plane_deg(corner.at(Point::rocker_spring) - corner.at(Point::spring_chassis), corner.rocker_axis));
    number("rocker.axis_point", UsualOf::rocker_side,
           corner.at(Point::rocker_axis_point).y * (is_left(corner.id) ? 1.0 : -1.0));
}

double off_standard_percent(double pitch_mm) {
    // ISO 261, and ASME B1.1 in threads an inch.
    constexpr std::array metric = {0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1.0, 1.25, 1.5,
                                   1.75, 2.0, 2.5,  3.0, 3.5, 4.0, 4.5,  5.0, 5.5, 6.0};
    constexpr std::array per_inch = {4.0,  4.5,  5.0,  6.0,  7.0,  8.0,  9.0,  10.0, 11.0, 12.0, 13.0, 14.0, 16.0,
                                     18.0, 20.0, 24.0, 28.0, 32.0, 36.0, 40.0, 44.0, 48.0, 56.0, 64.0, 72.0};
    double nearest = metric[0];
    const auto take = [&](double standard) {
        if (std::fabs(pitch_mm - standard) < std::fabs(pitch_mm - nearest)) nearest = standard;
    };
    std::ranges::for_each(metric, take);
    for (const double threads : per_inch) take(mm_per_inch / threads);
    return 100.0 * (pitch_mm / nearest - 1.0);
}

void thread(Doubting& doubting, const std::string& field, const Thread& thread) {
    for (const double pitch_mm : {thread.pitch_mm, thread.second_pitch_mm}) {
        if (!(pitch_mm > 0.0)) continue;
        doubting.number(field, UsualOf::pitch, pitch_mm);
        doubting.number(field, UsualOf::pitch_off_standard, off_standard_percent(pitch_mm));
    }
    const auto coarse_mm = thread_pitch_mm(thread.designation.substr(0, thread.designation.find('x')));
    if (coarse_mm && thread.designation.front() == 'M')
        doubting.number(field, UsualOf::pitch_to_coarse, thread.pitch_mm / *coarse_mm);
    doubting.number(field, UsualOf::turned_from_drawn, thread.now_turns * thread.lead_mm());
    if (thread.limits_turns) {
        doubting.number(field, UsualOf::turns_limit, thread.limits_turns->first);
        doubting.number(field, UsualOf::turns_limit, thread.limits_turns->second);
    }
    if (thread.engaged_mm) {
        doubting.number(field, UsualOf::engaged, thread.engaged_mm->first);
        doubting.number(field, UsualOf::engaged, thread.engaged_mm->second);
    }
}

/// Of shims for camber alone: what they lie on decides which way they push, whatever else a pack may be for.
void shim_direction(Doubting& doubting, const std::string& field, const Adjuster& adjuster, const Stack& stack,
                    CornerId id) {
    if (adjuster.purpose != Purpose::camber || (stack.on != Body::upright && stack.on != Body::chassis)) return;
    const double outboard = is_left(id) ? 1.0 : -1.0;
    for (const Change& change : adjuster.changes) {
        const double away = change.per_mm.y * outboard * (stack.on == Body::chassis ? 1.0 : -1.0);
        doubting.number(field, UsualOf::away_from_body, away);
    }
}

void pack(Doubting& doubting, const std::string& field, const Stack& stack) {
    doubting.number(field, UsualOf::pack_from_drawn, stack.total_mm() - stack.drawn_with_mm);
    doubting.number(field, UsualOf::shim_error, stack.thickness_uncertainty_mm);
    for (const std::vector<double>& shims : {stack.fitted_mm, stack.box_mm})
        for (const double shim_mm : shims) doubting.number(field, UsualOf::shim, shim_mm);
}

void adjusters(Doubting& doubting, const Corner& corner) {
    const Rates all = rates(setup(corner), {Held::contact, {0.0, 0.0, 1.0}}, drawn_contact(corner).z);
    for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
        const Adjuster& adjuster = corner.adjusters[a];
        const std::string field = adjuster_field(corner.id, adjuster.name);
        doubting.number(field, UsualOf::minutes, adjuster.minutes);
        if (adjuster.thread()) thread(doubting, field, *adjuster.thread());
        if (const Stack* stack = adjuster.stack()) {
            pack(doubting, field, *stack);
            shim_direction(doubting, field, adjuster, *stack, corner.id);
        }
        for (std::size_t o = 0; o < output_count; ++o)
            if (output_list[o].purpose == adjuster.purpose &&
                static_cast<Output>(o) != Output::spring_length)  // the car's
                doubting.number(field, UsualOf::purpose_effect, std::fabs(all.per_mm[a][o]));
    }
}

void instruments(Doubting& doubting, const Car& car) {
    const Instruments& with = car.instruments;
    const auto errors = [&](const std::string& name, UsualOf of, std::initializer_list<double> values) {
        for (const double value : values) doubting.number("instruments." + name, of, value);
    };
    errors("flag_ruler", UsualOf::flag_resolution, {with.flag_ruler.resolution_mm, with.flag_ruler.repeatability_mm});
    errors("camber_gauge", UsualOf::gauge_resolution,
           {with.camber_gauge.resolution_deg, with.camber_gauge.repeatability_deg});
    errors("camber_gauge", UsualOf::gauge_zero,
           {with.camber_gauge.zero_error_deg, with.camber_gauge.zero_uncertainty_deg});
    errors("height_gauge", UsualOf::height_resolution,
           {with.height_gauge.resolution_mm, with.height_gauge.repeatability_mm});
    errors("pad_level", UsualOf::height_resolution, {with.pad_level.resolution_mm, with.pad_level.repeatability_mm});
    errors("scale", UsualOf::scale_resolution,
           {with.scale.resolution_kg, with.scale.repeatability_kg, with.scale.zero_uncertainty_kg});
    const Settling& settling = car.settling;
    doubting.number("settling.warp_kg", UsualOf::settling_kg, settling.warp_kg);
    doubting.number("settling.ride_height_mm", UsualOf::settling_mm, settling.ride_height_mm);
    doubting.number("settling.lateral_mm", UsualOf::settling_mm, settling.lateral_mm);
    doubting.number("settling.toe_deg", UsualOf::settling_deg, settling.toe_deg);
    doubting.number("settling.camber_deg", UsualOf::settling_deg, settling.camber_deg);
}

void shared_parts(Doubting& doubting, const Car& car) {
    if (car.rack) {
        doubting.number("rack.travel_mm", UsualOf::rack_travel, car.rack->least_mm);
        doubting.number("rack.travel_mm", UsualOf::rack_travel, car.rack->most_mm);
        if (car.rack->mm_per_turn > 0.0)
            doubting.number("rack.mm_per_turn", UsualOf::rack_per_turn, car.rack->mm_per_turn);
    }
    for (std::size_t axle = 0; axle < 2; ++axle)
        if (car.bars[axle])
            doubting.number(axle_of(2 * axle) + "_bar", UsualOf::bar_rate, car.bars[axle]->rate_Nm_per_deg);
    for (const auto& [name, shims] : car.boxes_mm)
        for (const double shim_mm : shims) doubting.number("shims." + name + "_mm", UsualOf::shim, shim_mm);
    if (car.strings.bars_apart_mm > 0.0)
        doubting.number("strings.bars_apart_mm", UsualOf::bars_to_wheelbase,
                        car.strings.bars_apart_mm / wheelbase_mm(car));
}

double wheel_N_per_mm(const Corner& corner, const Outputs<double>& is) {
    const double ratio = is[index(Output::motion_ratio)];
    return corner.spring.rate_N_per_mm * ratio * ratio;
}

/// What its points make of a corner where it stands.
void corner_as_it_is(Doubting& doubting, const Corner& corner, const Outputs<double>& is) {
    const auto number = [&](std::string_view part, UsualOf of, double value) {
        doubting.number(at_corner_field(index(corner.id), part), of, value);
    };
    number("upper_wishbone", UsualOf::caster, is[index(Output::caster)]);
    number("upper_wishbone", UsualOf::kingpin, is[index(Output::kingpin_inclination)]);
    number("lower_wishbone", UsualOf::trail, is[index(Output::trail)]);
    number("lower_wishbone", UsualOf::scrub, is[index(Output::scrub)]);
    number("spring", UsualOf::motion_ratio, is[index(Output::motion_ratio)]);
    number("spring.rate_N_per_mm", UsualOf::wheel_rate, wheel_N_per_mm(corner, is));
}

void standing(Doubting& doubting, const Car& car) {
    const RestState state = rest(rest_model(car));
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Corner& corner = car.corners[c];
        const Outputs<double>& is = state.values.corners[c];
        corner_as_it_is(doubting, corner, is);
        const double sprung_kg = state.values.loads[c][index(CornerLoad::weight)] - corner.unsprung_kg;
        if (sprung_kg > 0.0)
            doubting.number(at_corner_field(c, "spring.rate_N_per_mm"), UsualOf::frequency,
                            std::sqrt(wheel_N_per_mm(corner, is) * mm_per_m / sprung_kg) / (2.0 * std::numbers::pi));
        doubting.number(at_corner_field(c, "spring"), UsualOf::rest_travel,
                        state.corners[c].contact_mm.z - drawn_contact(corner).z);
    }
    for (std::size_t p = 0; p < car.ride_heights.size(); ++p)
        doubting.number("ride_height_points." + car.ride_heights[p].name, UsualOf::floor_height,
                        state.values.ride_heights_mm[p]);
}

}  // namespace

std::vector<Doubt> doubts(const Car& car) {
    Doubting doubting(car.file, true);
    axles(doubting, car);
    masses(doubting, car);
    for (const Corner& corner : car.corners) {
        wheel(doubting, corner);
        springs(doubting, corner);
        rocker(doubting, corner);
        adjusters(doubting, corner);
    }
    shared_parts(doubting, car);
    instruments(doubting, car);
    try {
        standing(doubting, car);
    } catch (const OutOfReach& why) {
        for (const Corner& corner : car.corners)
            corner_as_it_is(doubting, corner, outputs_at(setup(corner), {}, drawn_contact(corner).z));
        doubting.said(
            "springs",
            std::string("as it is set the car does not stand at rest, and one that is driven does: ") + why.what());
    }
    return doubting.take();
}

}  // namespace shimwise
