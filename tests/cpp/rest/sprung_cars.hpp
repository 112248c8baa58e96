// Invented whole cars for the tests of loads: every body and kind of strut, bars with and without rockers, third
// elements, bump rubbers, droop stops, a chassis that twists; all drawn by a seed.
#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "files_of_tests.hpp"
#include "motion/corners.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/rest/solve.hpp"

namespace sprung_cars {

using namespace shimwise;
using corners::length;
using corners::mirrored;
using corners::Random;
using corners::unit;

struct SprungCar {
    std::string name;
    RestModel model;
    PadHeights pads_mm{};
    RestState state;
};

inline void move(Corner& c, const Vec3<double>& by_mm) {
    for (auto& point : c.points)
        if (point) *point = *point + by_mm;
}

/// Where the left corner has its drop link: beside the rocker's axis, so that it rises and falls; or on a body.
inline Vec3<double> drop_link(Corner& c, Random& random, Body carrier) {
    const Vec3<double> off = random.point_within(6.0);
    if (c.has_rocker()) {
        const Vec3<double> at = c.at(Point::rocker_axis_point) + Vec3<double>{0.0, -50.0, 0.0} + off;
        c.points[index(Point::rocker_drop_link)] = at;
        return at;
    }
    c.drop_link_outer_on = carrier;
    const Point joint = carrier == Body::upper_wishbone ? Point::upper_wishbone_outer : Point::lower_wishbone_outer;
    const Vec3<double> at = c.at(joint) + Vec3<double>{25.0, carrier == Body::upright ? -10.0 : -90.0, 12.0} + off;
    c.points[index(Point::drop_link_outer)] = at;
    return at;
}

/// Both corners of an axle, the right one the mirror image until its spring and shims; its bar and its third element.
inline void add_axle(Car& car, std::size_t axle, Random& random, int seed) {
    const std::array<Body, 3> bodies = {Body::lower_wishbone, Body::upper_wishbone, Body::upright};
    const corners::Kind kind = {bodies[random() % 3], random() % 3 != 0, true};
    Corner left = corners::corner(kind, seed, 5.0);
    left.id = axle == 0 ? CornerId::front_left : CornerId::rear_left;
    const bool pulls = kind.rocker && kind.strut_on == Body::upper_wishbone;
    if (pulls) {  // its spring above the rocker's axis, so that bump shortens it
        left.points[index(Point::rocker_spring)] = left.at(Point::rocker_axis_point) + Vec3<double>{-6.0, -7.0, 68.0};
        left.points[index(Point::spring_chassis)] = left.at(Point::rocker_spring) + Vec3<double>{-6.0, -208.0, -6.0};
    }
    if (axle == 1) move(left, {-2345.0, 0.0, 0.0});
    left.unsprung_kg = 15.0 + random.within(3.0);
    left.unsprung_cg_mm = left.at(Point::wheel_centre) + Vec3<double>{4.0, -30.0, 6.0} + random.point_within(8.0);
    left.spring.rate_N_per_mm = 110.0 + random.within(30.0);
    left.spring.rests_as_drawn = true;
    const Vec3<double> outer = drop_link(left, random, bodies[random() % 3]);
    left.tyre = Tyre{.loaded_radius_mm = 252.0, .rate_N_per_mm = 190.0};

    Corner right = corners::corner({kind.strut_on, kind.rocker, false}, seed, 5.0);
    for (std::size_t p = 0; p < point_count; ++p)
        if (left.points[p]) right.points[p] = mirrored(*left.points[p]);
    right.id = axle == 0 ? CornerId::front_right : CornerId::rear_right;
    right.unsprung_kg = left.unsprung_kg + 0.4;
    right.unsprung_cg_mm = mirrored(*left.unsprung_cg_mm);
    right.spring = left.spring;
    right.spring.rate_N_per_mm += 2.0;
    right.drop_link_outer_on = left.drop_link_outer_on;
    right.tyre = left.tyre;
    if (random() % 3 == 0)
        left.bump_rubber = right.bump_rubber =
            BumpRubber{.gap_mm = 0.5, .force_N_at_mm = {{0.0, 0.0}, {5.0, 400.0}, {8.0, 1100.0}}};

    car.bars[axle].reset();
    if (random() % 4 != 0) {
        const Vec3<double> end = outer + Vec3<double>{0.0, -5.0, -80.0} + random.point_within(10.0);
        const Vec3<double> bearing = {end.x - 100.0, 200.0, end.z + random.within(8.0)};
        Bar bar;
        bar.bearing = {bearing, mirrored(bearing) + random.point_within(2.0)};
        bar.arm = {end, mirrored(end) + random.point_within(3.0)};
        bar.rate_Nm_per_deg = 4.0 + random.within(2.0);
        bar.connected = true;
        car.bars[axle] = bar;
    }
    car.thirds[axle].reset();
    if (kind.rocker && random() % 2 == 0) {
        const Vec3<double> end = left.at(Point::rocker_axis_point) + Vec3<double>{0.0, -5.0, pulls ? -55.0 : 55.0} +
                                 random.point_within(6.0);
        car.thirds[axle] = Third{.at_mm = {end, mirrored(end) + random.point_within(2.0)},
                                 .rate_N_per_mm = 60.0 + random.within(20.0),
                                 .gap_mm = 0.1,
                                 .carries_pull = pulls};
    }
    car.corners[2 * axle] = left;
    car.corners[2 * axle + 1] = right;
}

/// The car of a seed as its parts stand in the file, before anything is turned.
inline Car car(int seed) {
    Car car = load_car(testing::demo_path("wren.toml"));
    Random random("whole car", seed);
    for (std::size_t axle = 0; axle < 2; ++axle) add_axle(car, axle, random, seed);
    if (random() % 2 == 0) car.chassis_twist_Nm_per_deg = 1500.0 + random.within(500.0);
    return car;
}

/// At rest with everything turned, on uneven pads; every third car has a damper on its droop stop. The platforms are
/// let down, so that rubbers and third elements carry.
inline SprungCar sprung_car(int seed) {
    Random random("turned whole car", seed);
    Car drawn = car(seed);
    const auto stopped = static_cast<std::size_t>(random() % corner_count);
    SprungCar s;
    s.name = "car " + std::to_string(seed);
    s.model = rest_model(drawn);
    if (seed % 3 == 0) {
        const double drawn_mm = drawn_strut_mm(drawn.corners[stopped]);
        s.model.car.corners[stopped].damper = Damper{.shortest_mm = drawn_mm - 60.0, .longest_mm = drawn_mm - 5.0};
    }
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Corner& corner = drawn.corners[c];
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a) s.model.setups[c].amounts_mm[a] = random.within(0.8);
        s.model.setups[c].amounts_mm[*corner.find("spring platform")] = -3.0 + random.within(1.0);
        s.pads_mm[c] = random.within(1.5);
    }
    s.state = rest(s.model, s.pads_mm);
    return s;
}

}  // namespace sprung_cars
