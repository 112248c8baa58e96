#include "workshop/files/instruments_read.hpp"

#include <algorithm>
#include <cmath>

#include "files/shown.hpp"
#include "shimwise/units.hpp"
#include "workshop/files/repeated.hpp"

namespace shimwise {

using files::Table;

namespace {

constexpr double most_toe_deg = 45.0;

void read_flags(Table table, const Corner& corner, Readings& readings) {
    if (!table.given()) return;
    Flags flags;
    const std::string reading = std::string(corner_names[index(corner.id)]) + ".flags.";
    const bool front = read_required(table, "front", reading + "front", flags.front_mm, readings);
    const bool rear = read_required(table, "rear", reading + "rear", flags.rear_mm, readings);
    const auto fronts = ends(readings, reading + "front", flags.front_mm),
               rears = ends(readings, reading + "rear", flags.rear_mm);
    const double difference_mm = std::max(std::abs(fronts.first - rears.second), std::abs(fronts.second - rears.first));
    const double span_mm = corner.wheel.flag_span_mm;
    const std::string axle = is_front(corner.id) ? "front" : "rear";
    if (!(span_mm > 0.0))
        table.report().add(table.place(), table.field(), "the car file gives no setup_wheel." + axle + ".flag_span_mm");
    else if (front && rear && !(difference_mm <= span_mm))
        table.report().add(table.place(), table.field(),
                           "front and rear differ by " + files::shown(difference_mm) +
                               " mm, more than the flags' span of " + files::shown(span_mm) + " mm");
    else if (front && rear && !(difference_mm <= std::sin(most_toe_deg * rad_per_deg) * span_mm))
        table.report().add(table.place(), table.field(),
                           "front and rear differ by " + files::shown(difference_mm) + " mm on a flags' span of " +
                               files::shown(span_mm) + " mm: a wheel is never turned by more than 45 degrees");
    table.close();
    readings.corners[index(corner.id)].flags_mm = flags;
}

}  // namespace

void demand_instrument(Table& table, std::string_view key, double resolution, const std::string& name) {
    if (table.has(key) && !(resolution > 0.0))
        table.problem(key, "the car file gives no [instruments] " + name + ": its uncertainty is not known");
}

void read_ride_heights(Table table, const Car& car, Readings& readings) {
    std::vector<std::string> points;
    for (const RideHeightPoint& point : car.ride_heights) points.push_back(point.name);
    for (const std::string& name : table.names_among(points, "ride-height point of the car")) {
        demand_instrument(table, name, car.instruments.height_gauge.resolution_mm, "height_gauge");
        std::vector<double>& mm = readings.ride_heights_mm[name];
        if (!table.read_one_or_more(name, mm)) continue;
        for (const double height : mm)
            if (!(height > 0.0)) {
                table.problem(name, "must be more than 0");
                break;
            }
    }
}

void read_corner_instruments(Table& table, const Car& car, CornerId id, Readings& readings) {
    const Corner& corner = car[id];
    const std::string name(corner_names[index(id)]);
    CornerReadings& read = readings.corners[index(id)];
    demand_instrument(table, "flags_mm", car.instruments.flag_ruler.resolution_mm, "flag_ruler");
    demand_instrument(table, "camber_deg", car.instruments.camber_gauge.resolution_deg, "camber_gauge");
    demand_instrument(table, "scale_kg", car.instruments.scale.resolution_kg, "scale");
    read_flags(table.table("flags_mm"), corner, readings);
    read_reversal(table, "camber_deg", false, name + ".camber", read.camber_deg, readings);
    read_mean(table, "scale_kg", name + ".scale", read.scale_kg, readings);
    if (read.scale_kg && !(ends(readings, name + ".scale", *read.scale_kg).first >= 0.0))
        table.problem("scale_kg", "must not be negative");
}

void demand_a_car_on_scales(Table& table, const Readings& readings) {
    const bool lifted = std::all_of(readings.corners.begin(), readings.corners.end(), [](const CornerReadings& corner) {
        return corner.scale_kg && *corner.scale_kg == 0.0;
    });
    if (lifted)
        table.report().add(table.place(), table.field("scale_kg"), "all four scales show 0 kg: no car stands on them");
}

}  // namespace shimwise
