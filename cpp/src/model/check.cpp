#include "shimwise/model/check.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "files/shown.hpp"
#include "model/findings.hpp"
#include "shimwise/math/best_plane.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/units.hpp"

namespace shimwise {

using files::shown;

void Findings::add(const std::string& field, const std::string& rule) {
    for (const Problem& known : problems_)
        if (known.field == field && known.rule == rule) return;
    problems_.push_back({file_, 0, 0, field, "", rule});
}

void Findings::positive(const std::string& field, double value) {
    if (!(value > 0.0 && std::isfinite(value))) add(field, "must be more than 0");
}

void Findings::not_negative(const std::string& field, double value) {
    if (!(value >= 0.0 && std::isfinite(value))) add(field, "must not be negative");
}

std::string corner_field(CornerId id, std::string_view part) {
    return std::string(corner_names[index(id)]) + "." + std::string(part);
}

Vec3<double> drawn_contact(const Corner& corner) {
    const Vec3<double> axis = corner.wheel_axis;
    const SetupWheel& wheel = corner.wheel;
    const Vec3<double> up{0.0, 0.0, 1.0};
    const Vec3<double> in_disc = axis * axis.z - up;
    const Vec3<double> down = in_disc * (1.0 / std::sqrt(squared(in_disc)));
    const bool upright = std::abs(std::asin(axis.z)) * deg_per_rad <= tolerances::upright_deg;
    const double to_edge_mm = upright ? 0.0 : std::copysign(0.5 * wheel.width_mm, -axis.z);
    return corner.at(Point::wheel_centre) + axis * (wheel.offset_mm + to_edge_mm) + down * wheel.radius_mm;
}

namespace {

std::string axle_name(CornerId id) { return is_front(id) ? "front" : "rear"; }

void check_wheel(const Corner& corner, Findings& findings) {
    const std::string field = "setup_wheel." + axle_name(corner.id);
    findings.positive(field + ".radius_mm", corner.wheel.radius_mm);
    findings.not_negative(field + ".width_mm", corner.wheel.width_mm);
    findings.not_negative(field + ".flag_span_mm", corner.wheel.flag_span_mm);
    if (!corner.tyre) return;
    const std::string tyre = "tyre." + axle_name(corner.id);
    findings.positive(tyre + ".loaded_radius_mm", corner.tyre->loaded_radius_mm);
    if (corner.tyre->rate_N_per_mm) findings.positive(tyre + ".rate_N_per_mm", *corner.tyre->rate_N_per_mm);
}

void check_mass(const Car& car, Findings& findings) {
    const Mass& mass = car.mass;
    findings.positive("mass.total_kg", mass.total_kg);
    double parts_kg = 0.0;
    for (const Corner& corner : car.corners) {
        findings.not_negative("mass.unsprung_kg." + axle_name(corner.id), corner.unsprung_kg);
        parts_kg += corner.unsprung_kg;
    }
    if (!(parts_kg < mass.total_kg))
        findings.add("mass.unsprung_kg", "the four unsprung masses add up to " + shown(parts_kg) +
                                             " kg, the total is " + shown(mass.total_kg) + " kg");
    for (std::size_t i = 0; i < car.ballast.size(); ++i) {
        const Ballast& ballast = car.ballast[i];
        findings.not_negative("ballast[" + std::to_string(i + 1) + "].now_kg", ballast.now_kg);
        if (parts_kg < mass.total_kg && !(parts_kg + ballast.now_kg < mass.total_kg))
            findings.add("ballast[" + std::to_string(i + 1) + "].now_kg",
                         "unsprung masses and ballast come to more than the total of " + shown(mass.total_kg) + " kg");
        parts_kg += ballast.now_kg;
    }
    if (!mass.weighing) return;
    const std::array<double, corner_count>& kg = mass.weighing->kg;
    for (std::size_t i = 0; i < corner_count; ++i)
        findings.not_negative("mass.scales_kg." + std::string(corner_names[i]), kg[i]);
    const double sum_kg = std::accumulate(kg.begin(), kg.end(), 0.0);
    constexpr double scales_to_total = 0.01;
    if (!(std::abs(sum_kg - mass.total_kg) <= scales_to_total * mass.total_kg))
        findings.add("mass.scales_kg", "the four scales add up to " + shown(sum_kg) + " kg, total_kg says " +
                                           shown(mass.total_kg) + " kg");
}

void check_bar(const Bar& bar, const std::string& field, Findings& findings) {
    if (bar.blades_Nm_per_deg.empty()) findings.not_negative(field + ".rate_Nm_per_deg", bar.rate_Nm_per_deg);
    const std::string blades = field + ".blades_Nm_per_deg.";
    for (const auto& [name, rate] : bar.blades_Nm_per_deg) findings.not_negative(blades + name, rate);
    if (!(bar.bearing[0].y > bar.bearing[1].y))
        findings.add(field + ".left.bearing", "the left bearing must lie to the left of the right one (y above it)");
}

void check_axles(const Car& car, Findings& findings) {
    for (std::size_t i = 0; i < 2; ++i) {
        const std::string axle = i == 0 ? "front" : "rear";
        if (car.bars[i]) check_bar(*car.bars[i], axle + "_bar", findings);
        if (!car.thirds[i]) continue;
        const std::string field = axle + "_third";
        findings.positive(field + ".rate_N_per_mm", car.thirds[i]->rate_N_per_mm);
        const CornerId left = i == 0 ? CornerId::front_left : CornerId::rear_left;
        const CornerId right = i == 0 ? CornerId::front_right : CornerId::rear_right;
        if (!car[left].has_rocker() || !car[right].has_rocker())
            findings.add(field, "needs a rocker on both sides of its axle");
        if (!(car.thirds[i]->at_mm[0].y > car.thirds[i]->at_mm[1].y))
            findings.add(field + ".left", "must lie to the left of the right point");
    }
}

void check_rest(const Car& car, Findings& findings) {
    int resting = 0;
    for (const Corner& corner : car.corners) resting += corner.spring.rests_as_drawn ? 1 : 0;
    if (resting == 0 || resting == static_cast<int>(corner_count)) return;
    for (const Corner& corner : car.corners)
        if (corner.spring.rests_as_drawn)
            findings.add(corner_field(corner.id, "spring.rests_as_drawn"),
                         "stands for " + std::to_string(resting) + " of the four springs: it is all four or none");
}

constexpr double least_spread = 1e-9;

/// Height over the least-squares plane through the four drawn contacts, for each ride-height point.
void check_ground(const Car& car, Findings& findings) {
    std::array<Vec3<double>, corner_count> places;
    std::array<double, corner_count> heights{};
    for (std::size_t i = 0; i < corner_count; ++i) {
        if (!car.corners[i].has(Point::wheel_centre) || !(car.corners[i].wheel.radius_mm > 0.0)) return;
        places[i] = drawn_contact(car.corners[i]);
        heights[i] = places[i].z;
    }
    const BestPlane<double> plane = best_plane(places, heights);
    if (!(plane.spread > least_spread)) return;  // no car: its contacts stand on one line
    const double slope = std::sqrt(1.0 + plane.along_x * plane.along_x + plane.along_y * plane.along_y);
    for (const RideHeightPoint& point : car.ride_heights) {
        const Vec3<double>& at = point.at_mm;
        const double height_mm = (at.z - plane.level - plane.along_x * at.x - plane.along_y * at.y) / slope;
        if (!(height_mm > 0.0))
            findings.add("ride_height_points." + point.name + ".at_mm",
                         "lies " + shown(-height_mm) + " mm below the ground plane through the four drawn contacts");
    }
}

void check_order(const Car& car, Findings& findings) {
    for (const auto& [front, rear] : {std::pair(CornerId::front_left, CornerId::rear_left),
                                      std::pair(CornerId::front_right, CornerId::rear_right)}) {
        if (!car[front].has(Point::wheel_centre) || !car[rear].has(Point::wheel_centre)) continue;
        const double ahead_mm = car[front].at(Point::wheel_centre).x - car[rear].at(Point::wheel_centre).x;
        if (!(ahead_mm > 0.0))
            findings.add(corner_field(front, "wheel.centre"),
                         "lies " + shown(-ahead_mm) + " mm behind the rear wheel's: x points forward");
    }
}

void check_rake(const Car& car, Findings& findings) {
    const auto place = [&](const std::string& name) {
        return std::find_if(car.ride_heights.begin(), car.ride_heights.end(),
                            [&](const RideHeightPoint& point) { return point.name == name; });
    };
    const auto front = place(car.rake_front), rear = place(car.rake_rear);
    if (front == car.ride_heights.end() || rear == car.ride_heights.end()) return;
    if (!(front->at_mm.x > rear->at_mm.x))
        findings.add("rake.front", "does not lie ahead of " + rear->name + ": rake goes from the front to the rear");
}

void check_ride_height_sides(const Car& car, Findings& findings) {
    const auto ends_with = [](const std::string& name, std::string_view end) {
        return name.size() > end.size() && name.ends_with(end);
    };
    for (const RideHeightPoint& point : car.ride_heights) {
        const std::string field = "ride_height_points." + point.name + ".at_mm";
        if (ends_with(point.name, "_left") && !(point.at_mm.y > 0.0))
            findings.add(field, "is on the wrong side: y is above 0 on the left");
        if (ends_with(point.name, "_right") && !(point.at_mm.y < 0.0))
            findings.add(field, "is on the wrong side: y is below 0 on the right");
    }
}

void check_instruments(const Instruments& all, Findings& findings) {
    const auto instrument = [&](const std::string& name, const std::string& unit, double resolution,
                                std::initializer_list<std::pair<const char*, double>> others) {
        findings.not_negative("instruments." + name + ".resolution_" + unit, resolution);
        for (const auto& [key, value] : others) findings.not_negative("instruments." + name + "." + key, value);
    };
    instrument("flag_ruler", "mm", all.flag_ruler.resolution_mm,
               {{"repeatability_mm", all.flag_ruler.repeatability_mm},
                {"level_uncertainty_deg", all.flag_ruler.level_uncertainty_deg}});
    instrument("camber_gauge", "deg", all.camber_gauge.resolution_deg,
               {{"repeatability_deg", all.camber_gauge.repeatability_deg},
                {"zero_uncertainty_deg", all.camber_gauge.zero_uncertainty_deg},
                {"valid_days", all.camber_gauge.valid_days.value_or(0)}});
    instrument("height_gauge", "mm", all.height_gauge.resolution_mm,
               {{"repeatability_mm", all.height_gauge.repeatability_mm}});
    instrument("scale", "kg", all.scale.resolution_kg,
               {{"repeatability_kg", all.scale.repeatability_kg},
                {"zero_uncertainty_kg", all.scale.zero_uncertainty_kg},
                {"span_uncertainty_percent", all.scale.span_uncertainty_percent}});
    instrument("pad_level", "mm", all.pad_level.resolution_mm, {{"repeatability_mm", all.pad_level.repeatability_mm}});
}

void check_rest_of_file(const Car& car, Findings& findings) {
    if (car.chassis_twist_Nm_per_deg) findings.positive("chassis_twist_Nm_per_deg", *car.chassis_twist_Nm_per_deg);
    if (car.skid_new_mm) findings.positive("skid_new_mm", *car.skid_new_mm);
    findings.not_negative("strings.bars_apart_mm", car.strings.bars_apart_mm);
    findings.not_negative("strings.end_uncertainty_mm", car.strings.end_uncertainty_mm);
    findings.not_negative("settling.warp_kg", car.settling.warp_kg);
    findings.not_negative("settling.ride_height_mm", car.settling.ride_height_mm);
    findings.not_negative("settling.lateral_mm", car.settling.lateral_mm);
    findings.not_negative("settling.toe_deg", car.settling.toe_deg);
    findings.not_negative("settling.camber_deg", car.settling.camber_deg);
    findings.not_negative("known.toe_deg", car.known.toe_deg);
    findings.not_negative("known.camber_deg", car.known.camber_deg);
    findings.not_negative("known.places_mm", car.known.places_mm);
    findings.not_negative("known.total_kg", car.known.total_kg);
    findings.not_negative("known.total_at_mm", car.known.total_at_mm);
    findings.not_negative("known.rods_mm", car.known.rods_mm);
    findings.not_negative("known.pushrods_mm", car.known.pushrods_mm);
    findings.not_negative("known.platforms_mm", car.known.platforms_mm);
    if (car.rack && !(car.rack->direction.y > 0.0))
        findings.add("rack.direction", "must point to the left (y above 0)");
    for (const auto& [name, shims] : car.boxes_mm)
        for (const double thickness : shims)
            if (const std::string fault = shim_fault(thickness); !fault.empty())
                findings.add("shims." + name + "_mm", fault);
}

}  // namespace

std::vector<Problem> check(const Car& car) {
    Findings findings(car.file);
    check_mass(car, findings);
    check_rest_of_file(car, findings);
    check_instruments(car.instruments, findings);
    check_axles(car, findings);
    for (const Corner& corner : car.corners) {
        check_wheel(corner, findings);
        check_corner(corner, car.bars[is_front(corner.id) ? 0 : 1], findings);
        check_springs(corner, findings);
        check_adjusters(car, corner.id, findings);
    }
    check_rest(car, findings);
    check_ride_height_sides(car, findings);
    check_order(car, findings);
    check_rake(car, findings);
    check_ground(car, findings);
    return findings.take();
}

std::vector<Problem> check_points(const Car& car, const std::array<bool, corner_count>& corners) {
    Findings findings(car.file);
    for (const Corner& corner : car.corners) {
        if (!corners[index(corner.id)]) continue;
        check_corner(corner, car.bars[is_front(corner.id) ? 0 : 1], findings);
        check_strut_as_drawn(corner, findings);
        check_limits(car, corner.id, findings);
    }
    check_order(car, findings);
    check_ground(car, findings);
    return findings.take();
}

}  // namespace shimwise
