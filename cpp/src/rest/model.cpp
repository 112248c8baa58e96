#include "shimwise/rest/model.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "files/shown.hpp"
#include "rest/drawn_loads.hpp"
#include "shimwise/error.hpp"
#include "shimwise/rest/solve.hpp"

namespace shimwise {
namespace {

BarArm bar_arm(const Car& car, const Corner& corner) {
    const Bar& bar = *car.bars[is_front(corner.id) ? 0 : 1];
    const Vec3<double> along = bar.bearing[0] - bar.bearing[1];
    const Vec3<double> axis = along * (1.0 / std::sqrt(squared(along)));
    const Vec3<double>& end = bar.arm[is_left(corner.id) ? 0 : 1];
    const Vec3<double> from = end - bar.bearing[1];
    BarArm arm;
    arm.circle.centre = bar.bearing[1] + axis * dot(from, axis);
    arm.circle.axis = axis;
    arm.drawn = end - arm.circle.centre;
    arm.across = cross(axis, arm.drawn);
    arm.circle.radius2 = squared(arm.drawn);
    const Vec3<double>& drop_link = corner.at(corner.has_rocker() ? Point::rocker_drop_link : Point::drop_link_outer);
    arm.link_mm = std::sqrt(squared(drop_link - end));
    arm.side = side_of(arm.circle, drop_link, arm.drawn).sign;
    return arm;
}

/// What is left of the total once unsprung masses and ballast are taken off, at its own centre of gravity.
Weight sprung_mass(const Car& car) {
    double kg = car.mass.total_kg;
    Vec3<double> moment = *car.mass.cg_mm * kg;
    const auto take = [&](double part_kg, const Vec3<double>& at_mm) {
        kg -= part_kg;
        moment = moment - at_mm * part_kg;
    };
    for (const Corner& c : car.corners) take(c.unsprung_kg, c.unsprung_cg_mm.value_or(c.at(Point::wheel_centre)));
    for (const Ballast& b : car.ballast) take(b.now_kg, b.at_mm);
    return {.name = "sprung mass", .at_mm = moment * (1.0 / kg), .kg = kg};
}

std::vector<std::array<std::size_t, 2>> rake_points(const Car& car) {
    if (car.rake_front.empty()) return {};
    const auto place = [&car](const std::string& name) {
        return static_cast<std::size_t>(std::find_if(car.ride_heights.begin(), car.ride_heights.end(),
                                                     [&](const RideHeightPoint& p) { return p.name == name; }) -
                                        car.ride_heights.begin());
    };
    const auto pair = [&](const std::string& name) {
        const std::string left = "_left";
        const std::size_t one = place(name);
        if (!name.ends_with(left)) return std::array{one, one};
        return std::array{one, place(name.substr(0, name.size() - left.size()) + "_right")};
    };
    return {pair(car.rake_front), pair(car.rake_rear)};
}

}  // namespace

double RestModel::total_kg() const {
    return std::accumulate(weights.begin(), weights.end(), 0.0, [](double kg, const Weight& w) { return kg + w.kg; }) +
           std::accumulate(car.corners.begin(), car.corners.end(), 0.0,
                           [](double kg, const Corner& c) { return kg + c.unsprung_kg; });
}

bool RestModel::has_rack() const { return on_rack(0) || on_rack(1) || on_rack(2) || on_rack(3); }

double RestModel::share(const Vec3<double>& at_mm) const {
    const double rear_x = 0.5 * (car[CornerId::rear_left].at(Point::wheel_centre).x +
                                 car[CornerId::rear_right].at(Point::wheel_centre).x);
    return std::clamp(1.0 - at_mm.x / rear_x, 0.0, 1.0) - 0.5;
}

RestModel with_loads_given(const Car& car) {
    RestModel m;
    m.car = car;
    read_car(m);
    return m;
}

void read_car(RestModel& m) {
    const Car& car = m.car;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Corner& corner = car.corners[c];
        m.setups[c] = setup(corner);
        Riders& riders = m.riders[c];
        riders.unsprung_at_wheel_centre = !corner.unsprung_cg_mm;
        if (corner.unsprung_cg_mm) riders.unsprung_cg = *corner.unsprung_cg_mm;
        riders.has_bar = car.bars[c / 2] && car.bars[c / 2]->connected;
        if (riders.has_bar) riders.bar = bar_arm(car, corner);
        riders.has_third = car.thirds[c / 2].has_value();
        if (riders.has_third) riders.third = car.thirds[c / 2]->at_mm[c % 2];
    }
    for (std::size_t axle = 0; axle < 2; ++axle)
        if (const auto& third = car.thirds[axle])
            m.third_drawn_mm[axle] = std::sqrt(squared(third->at_mm[0] - third->at_mm[1]));
    m.rake = rake_points(car);
    m.weights.assign(1, sprung_mass(car));
    for (const Ballast& b : car.ballast) m.weights.push_back({b.name, b.at_mm, b.now_kg});
    for (Weight& weight : m.weights) weight.share = m.share(weight.at_mm);
}

bool loads_are_given(const Car& car) { return car.mass.cg_mm && load_is_given(car.corners[0]); }

RestModel rest_model(const Car& car) { return with_loads_given(loads_are_given(car) ? car : with_drawn_loads(car)); }

RestModel with_ballast(RestModel model, const std::map<std::string, double>& kg) {
    std::vector<Problem> problems;
    for (const auto& [name, now_kg] : kg) {
        const auto found = std::find_if(model.weights.begin() + 1, model.weights.end(),
                                        [&, &ballast = name](const Weight& w) { return w.name == ballast; });
        if (found == model.weights.end())
            problems.push_back({"", 0, 0, name, "", "is no ballast of this car"});
        else if (!(now_kg >= 0.0 && std::isfinite(now_kg)))
            problems.push_back({"", 0, 0, name, "", "is a ballast of 0 kg or more"});
        else
            found->kg = now_kg;
    }
    if (!problems.empty()) throw InputError(std::move(problems));
    return model;
}

RestModel with_rack(RestModel model, double rack_mm) {
    const auto refuse = [&](std::string rule) {
        throw InputError({{"", 0, 0, "rack_mm", files::shown(rack_mm), std::move(rule)}});
    };
    if (!model.car.rack) refuse(model.car.name + " has no rack (the file has no [rack])");
    if (!model.has_rack()) refuse("no track rod of " + model.car.name + " is on the rack (inner_moves)");
    const Rack& rack = *model.car.rack;
    if (!(rack_mm >= rack.least_mm && rack_mm <= rack.most_mm))
        refuse("goes beyond rack.travel_mm = [" + files::shown(rack.least_mm) + ", " + files::shown(rack.most_mm) +
               "]");
    for (Setup& setup : model.setups) setup.rack_mm = rack_mm;
    return model;
}

RestModel on_tyres(RestModel model) {
    std::vector<Problem> problems;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Corner& corner = model.car.corners[c];
        if (!corner.tyre || !corner.tyre->rate_N_per_mm) {
            const std::string field = std::string("tyre.") + (c < 2 ? "front" : "rear");
            if (problems.empty() || problems.back().field != field)  // the file has one for both wheels
                problems.push_back({model.car.file, 0, 0, field, "",
                                    "needs loaded_radius_mm and rate_N_per_mm for a car on its tyres"});
            continue;
        }
        Geometry& g = model.setups[c].geometry;
        g.wheel_radius_mm = corner.tyre->loaded_radius_mm;
        g.half_width_mm = g.offset_mm = 0.0;
    }
    if (!problems.empty()) throw InputError(std::move(problems));
    const RestState as_it_stands = rest(model);
    for (std::size_t c = 0; c < corner_count; ++c) {
        model.give_mm_per_N[c] = 1.0 / *model.car.corners[c].tyre->rate_N_per_mm;
        model.tyre_load_N[c] = as_it_stands.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2;
    }
    return model;
}

}  // namespace shimwise
