// Invented whole cars for the tests of rest: every kind of strut on either axle, what couples two corners, and every
// way in which a spring's load is given; seeded as corners.hpp.
#pragma once

#include "motion/corners.hpp"
#include "shimwise/rest/rates.hpp"

namespace cars {

using namespace shimwise;
using corners::Random;

enum class SpringsBy { load, free_length, resting };
enum class ThirdBy { none, push, pull };

struct AxleKind {
    Body strut_on = Body::lower_wishbone;
    bool rocker = true;
    bool bar = false;
    ThirdBy third = ThirdBy::none;
};

struct Kind {
    std::string name;
    AxleKind front, rear;
    SpringsBy springs = SpringsBy::load;
    bool mirror = false;  // both sides alike and the centre of gravity in the middle
    bool twists = false;
    bool set = true;      // adjusters turned from the drawing
    bool extras = false;  // helpers, bump rubbers, ballast, unsprung masses off the wheel centres
    bool stop = false;    // front left on its droop stop

    const AxleKind& axle(std::size_t corner) const { return corner < 2 ? front : rear; }
};

/// Every kind of strut, spring and coupling at least once.
inline std::vector<Kind> kinds() {
    constexpr Body lower = Body::lower_wishbone, upper = Body::upper_wishbone, upright = Body::upright;
    std::vector<Kind> all;
    const auto add = [&all](const std::string& name, AxleKind front, AxleKind rear) -> Kind& {
        return all.emplace_back(Kind{.name = name, .front = front, .rear = rear});
    };
    add("pushrods and bars", {lower, true, true}, {lower, true, true});
    add("drawn car at rest", {lower, true, true}, {upright, true, true}).springs = SpringsBy::resting;
    add("pull rods, thirds", {upper, true, false, ThirdBy::push}, {lower, true, false, ThirdBy::push}).extras = true;
    add("direct springs, bars", {lower, false, true}, {upper, false, true}).springs = SpringsBy::free_length;
    Kind& twisting =
        add("twisting, everything", {upright, true, true, ThirdBy::pull}, {upper, true, true, ThirdBy::pull});
    twisting.twists = twisting.extras = true;
    Kind& alike = add("both sides alike, as drawn", {lower, true, true, ThirdBy::push}, {upright, false, true});
    alike.mirror = true;
    alike.set = false;
    alike.springs = SpringsBy::resting;
    Kind& stopped = add("on a droop stop", {lower, true, true}, {upright, true, true});
    stopped.stop = true;
    Kind& both = add("twisting on a droop stop, direct springs behind", {upright, true, true}, {upright, false, true});
    both.stop = both.twists = true;
    return all;
}

inline constexpr double rear_x_mm = -2600.0;

inline Vec3<double>& point(Corner& c, Point p) { return *c.points[index(p)]; }

/// A left corner: that of corners.hpp with a drop link, and behind shifted to its axle and drawn a little higher.
inline Corner left_corner(const AxleKind& kind, bool front, int seed) {
    Corner c = corners::corner({kind.strut_on, kind.rocker, true}, seed + (front ? 1 : 101), 4.0);
    const bool upper = kind.strut_on == Body::upper_wishbone;
    if (kind.rocker && upper) {  // its pull rod shortens the spring as the wheel rises
        point(c, Point::rocker_spring) = {6.0, 262.0, 248.0};
        point(c, Point::spring_chassis) = {0.0, 55.0, 244.0};
    }
    if (kind.rocker) {
        point(c, Point::rocker_drop_link) = c.at(Point::rocker_axis_point) + Vec3<double>{0.0, -40.0, 5.0};
    } else {
        c.drop_link_outer_on = kind.strut_on;
        c.points[index(Point::drop_link_outer)] = Vec3<double>{4.0, 480.0, upper ? 340.0 : 128.0};
    }
    if (front) return c;
    c.rack_direction.reset();
    c.id = CornerId::rear_left;
    for (auto& p : c.points)
        if (p) *p = *p + Vec3<double>{rear_x_mm, 0.0, 9.0};
    return c;
}

inline Corner mirror_image(Corner c) {
    c.id = static_cast<CornerId>(index(c.id) ^ 1u);
    for (auto& p : c.points)
        if (p) *p = corners::mirrored(*p);
    if (c.rack_direction) c.rack_direction = -corners::mirrored(*c.rack_direction);
    if (c.unsprung_cg_mm) c.unsprung_cg_mm = corners::mirrored(*c.unsprung_cg_mm);
    c.wheel_axis = corners::mirrored(c.wheel_axis);
    c.rocker_axis = corners::mirrored(c.rocker_axis);
    for (Adjuster& a : c.adjusters)
        for (Change& change : a.changes)
            if (std::holds_alternative<Point>(change.what)) change.per_mm = corners::mirrored(change.per_mm);
    return c;
}

/// The whole car seen in a mirror: left and right change places.
inline Car mirror_image(const Car& car) {
    Car m = car;
    for (std::size_t c = 0; c < corner_count; ++c) m.corners[c ^ 1] = mirror_image(car.corners[c]);
    m.mass.cg_mm = corners::mirrored(*car.mass.cg_mm);
    for (Ballast& b : m.ballast) b.at_mm = corners::mirrored(b.at_mm);
    for (std::size_t i = 0; i < 2; ++i)
        for (std::size_t axle = 0; axle < 2; ++axle) {
            if (auto& bar = m.bars[axle]) {
                bar->bearing[1 - i] = corners::mirrored(car.bars[axle]->bearing[i]);
                bar->arm[1 - i] = corners::mirrored(car.bars[axle]->arm[i]);
            }
            if (auto& third = m.thirds[axle]) third->at_mm[1 - i] = corners::mirrored(car.thirds[axle]->at_mm[i]);
        }
    return m;
}

inline void give_spring(Corner& c, const Kind& kind, double wheel_N, Random& random) {
    const bool stopped = kind.stop && c.id == CornerId::front_left;
    const double motion_ratio =
        std::fabs(outputs_at(setup(c), {}, present_value(setup(c), {}))[index(Output::motion_ratio)]);
    const double load_N = wheel_N / motion_ratio * (stopped ? 1.8 : 1.0 + (kind.mirror ? 0.0 : random.within(0.08)));
    c.spring.rate_N_per_mm = 130.0 + (kind.mirror ? 0.0 : random.within(15.0));
    const double drawn_mm = drawn_strut_mm(c);
    c.damper = Damper{.shortest_mm = drawn_mm - 45.0, .longest_mm = drawn_mm + (stopped ? 0.6 : 35.0)};
    double squeezed_mm = load_N / c.spring.rate_N_per_mm;
    if (kind.extras) {
        // Solid long before this load in front, still working behind.
        c.helper = is_front(c.id) ? Helper{.rate_N_per_mm = 25.0, .closes_at_mm = 7.0}
                                  : Helper{.rate_N_per_mm = 400.0, .closes_at_mm = 60.0};
        squeezed_mm += is_front(c.id) ? 7.0 : load_N / 400.0;
        c.bump_rubber = BumpRubber{.gap_mm = is_left(c.id) ? -3.0 : 9.0, .force_N_at_mm = {{1.5, 60.0}, {7.0, 420.0}}};
    }
    if (kind.springs == SpringsBy::load) c.spring.load_at_drawn_N = load_N;
    if (kind.springs == SpringsBy::resting) c.spring.rests_as_drawn = true;
    if (kind.springs == SpringsBy::free_length) {
        c.spring.seat_gap_mm = 31.0;
        c.spring.free_length_mm = drawn_mm - c.spring.seat_gap_mm + squeezed_mm;
    }
}

/// Threads of 1.25 mm that count half turns, and a pack of shims.
inline void give_settings(Corner& c, bool turned, Random& random) {
    for (Adjuster& a : c.adjusters) {
        if (a.name == "camber shim") {
            Stack stack;
            stack.drawn_with_mm = turned ? 2.0 : 2.5;
            stack.fitted_mm = {1.0, 1.5};
            stack.box_mm = {0.5, 1.0};
            a.setting = stack;
            continue;
        }
        Thread thread;
        thread.pitch_mm = 1.25;
        thread.step_turns = 0.5;
        const double turns = random.within(0.4);
        if (turned) thread.now_turns = turns;
        a.setting = thread;
    }
}

inline Bar bar(const Corner& left, const Corner& right, double rate_Nm_per_deg) {
    Bar b;
    const Point end = left.has_rocker() ? Point::rocker_drop_link : Point::drop_link_outer;
    const double up = left.has_rocker() || left.drop_link_outer_on == Body::upper_wishbone ? -72.0 : 75.0;
    for (std::size_t i = 0; i < 2; ++i) {
        const Vec3<double>& from = (i == 0 ? left : right).at(end);
        const double side = i == 0 ? 1.0 : -1.0;
        b.arm[i] = from + Vec3<double>{3.0, -5.0 * side, up};
        b.bearing[i] = {left.at(end).x - 52.0, side * 180.0, left.at(end).z + up - 2.0};
    }
    b.rate_Nm_per_deg = rate_Nm_per_deg;
    b.connected = true;
    return b;
}

inline Third third(const Corner& left, const Corner& right, bool pull) {
    Third t;
    const double up = left.at(Point::rocker_spring).z > left.at(Point::rocker_axis_point).z ? 55.0 : -55.0;
    t.at_mm[0] = left.at(Point::rocker_axis_point) + Vec3<double>{2.0, -6.0, up};
    t.at_mm[1] = right.at(Point::rocker_axis_point) + Vec3<double>{2.0, 6.0, up};
    t.rate_N_per_mm = 60.0;
    t.gap_mm = pull ? -9.0 : -6.0;  // it carries as drawn
    t.carries_pull = pull;
    return t;
}

inline Car car(const Kind& kind, int seed = 0) {
    Random random(kind.name, seed);
    Car car;
    car.name = kind.name;
    car.mass.total_kg = 720.0;
    car.mass.cg_mm = Vec3<double>{0.54 * rear_x_mm, 0.0, 265.0};
    if (!kind.mirror) car.mass.cg_mm = *car.mass.cg_mm + random.point_within(30.0);
    for (const std::size_t c : {0u, 2u}) {
        const double wheel_N = gravity_m_per_s2 * (0.5 * 720.0 * (c == 0 ? 0.46 : 0.54) - 15.0);
        Corner left = left_corner(kind.axle(c), c == 0, seed);
        left.unsprung_kg = c == 0 ? 14.0 : 17.0;
        if (kind.extras) left.unsprung_cg_mm = left.at(Point::wheel_centre) + Vec3<double>{6.0, -45.0, 12.0};
        Random settings(kind.name + ", settings", static_cast<int>(c));
        give_settings(left, kind.set, settings);
        Corner right = mirror_image(left);
        if (!kind.mirror) {
            for (auto& p : right.points)
                if (p) *p = *p + random.point_within(0.8);
            give_settings(right, kind.set, settings);
            right.unsprung_kg += random.within(1.0);
        }
        if (kind.axle(c).bar) car.bars[c / 2] = bar(left, right, c == 0 ? 6.0 : 4.0);
        if (kind.axle(c).third != ThirdBy::none)
            car.thirds[c / 2] = third(left, right, kind.axle(c).third == ThirdBy::pull);
        give_spring(left, kind, wheel_N, random);
        give_spring(right, kind, wheel_N, random);
        car.corners[c] = left;
        car.corners[c + 1] = right;
    }
    car.rack = Rack{.direction = {0.0, 1.0, 0.0}, .least_mm = -20.0, .most_mm = 25.0, .mm_per_turn = 38.0};
    if (kind.twists) car.chassis_twist_Nm_per_deg = 900.0;
    if (kind.extras)
        car.ballast = {{.name = "front plate", .at_mm = {180.0, 40.0, 20.0}, .now_kg = 6.0},
                       {.name = "seat plate", .at_mm = {-1300.0, -220.0, 15.0}, .now_kg = 0.0}};
    car.ride_heights = {{"front_left", {60.0, 320.0, 2.0}},
                        {"front_right", {60.0, -320.0, 2.0}},
                        {"rear_left", {-2450.0, 300.0, 8.0}},
                        {"rear_right", {-2450.0, -300.0, 8.0}},
                        {"nose", {700.0, 0.0, 40.0}}};
    car.rake_front = "front_left";
    car.rake_rear = "rear_left";
    return car;
}

/// Uneven pads, or level ones under a car whose sides are alike.
inline PadHeights pads(const Kind& kind, int seed = 0) {
    PadHeights p{};
    Random random(kind.name + ", pads", seed);
    if (!kind.mirror)
        for (double& pad_mm : p) pad_mm = random.within(1.5);
    if (kind.stop) p[0] -= 3.0;
    return p;
}

/// Calls `with(kind, model, pads)` for every kind of car, named in what fails.
template <class With>
void each(const With& with) {
    for (const Kind& kind : kinds()) {
        INFO(kind.name);
        with(kind, rest_model(car(kind)), pads(kind));
    }
}

/// The values of the car with one variable moved.
inline std::vector<double> values_with(RestModel m, PadHeights pads, const RestVariable& v, double by,
                                       const std::vector<ValueId>& outputs) {
    if (v.of == RestVariable::Of::adjuster) m.setups[v.corner].amounts_mm[v.index] += by;
    if (v.of == RestVariable::Of::pad) pads[v.corner] += by;
    if (v.of == RestVariable::Of::ballast) m.weights[v.index].kg += by;
    if (v.of == RestVariable::Of::rack) m = with_rack(std::move(m), by);
    return row(rest(m, pads).values, outputs);
}

}  // namespace cars
