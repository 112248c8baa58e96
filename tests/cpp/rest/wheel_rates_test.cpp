// Wheel rates against differences of loads re-solved with the chassis held, the curves of one corner, closed forms.
#include "shimwise/rest/wheel_rates.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/differences.hpp"
#include "rest/sprung_cars.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/motion/curves.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace sprung_cars;

namespace {

constexpr double of_the_rate = 1e-7;

/// Pads right under the contacts of a state.
PadHeights under(const RestState& state) {
    PadHeights pads_mm{};
    for (std::size_t c = 0; c < corner_count; ++c)
        pads_mm[c] = state.pose.height_mm + dot(state.corners[c].plumb, state.corners[c].contact_mm);
    return pads_mm;
}

/// Load of wheel `c` per mm by which each pad is raised by `rises`, re-solved with the chassis held. The step is short,
/// or some car's rubber or third element begins to carry within it.
double by_differences_of_loads(const RestModel& m, const RestState& state, std::size_t c,
                               const std::array<double, corner_count>& rises) {
    RestModel rigid = m;
    rigid.give_mm_per_N = {};
    const PadHeights now = under(state);
    return corners::by_differences(0.005, [&](double up_mm) {
        PadHeights pads_mm = now;
        for (std::size_t i = 0; i < corner_count; ++i) pads_mm[i] += rises[i] * up_mm;
        return std::array{rest_energy(rigid, state.pose, pads_mm).load_N[c]};
    })[0];
}

double sum_of_parts(const WheelRate& r) {
    return r.spring_N_per_mm + r.rubber_N_per_mm + r.load_N_per_mm + r.unsprung_N_per_mm + r.bar_N_per_mm +
           r.third_N_per_mm;
}

/// Compares all rates of a state; gives the worst difference as a share of the rate.
double check_rates(const RestModel& m, const RestState& state) {
    const WheelRates rates = wheel_rates(m, state);
    double worst = 0.0;
    for (std::size_t c = 0; c < corner_count; ++c) {
        INFO(corner_names[c]);
        const std::size_t side = c % 2, other = c ^ 1u;
        const AxleRates& axle = rates.axles[c / 2];
        const bool stopped = state.corners[c].on_droop_stop;
        const bool any_stopped = stopped || state.corners[other].on_droop_stop;
        REQUIRE(axle.single[side].has_value() == !stopped);
        REQUIRE(axle.bump[side].has_value() == !any_stopped);
        REQUIRE(axle.roll[side].has_value() == !any_stopped);
        const auto check = [&](const std::optional<WheelRate>& rate, double other_rises) {
            if (!rate) return;
            std::array<double, corner_count> rises{};
            rises[c] = 1.0;
            rises[other] = other_rises;
            const double total = rate->total_N_per_mm;
            const double off = std::fabs(total - by_differences_of_loads(m, state, c, rises)) / std::fabs(total);
            INFO("the other wheel rises " << other_rises << " times as much: " << total << " N/mm, off by " << off);
            CHECK(off <= of_the_rate);
            worst = std::max(worst, off);
            CHECK_NEAR(sum_of_parts(*rate), total, 1e-11 * std::fabs(total));
        };
        check(axle.single[side], 0.0);
        check(axle.bump[side], 1.0);
        check(axle.roll[side], -1.0);
    }
    return worst;
}

/// A car held level with its wheels where they are asked for: no rest, but all that rates read.
RestState held_level(const RestModel& m, const std::array<double, corner_count>& travel_mm) {
    RestState state;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Setup& s = m.setups[c];
        const Linkage<double> l = linkage(s.geometry, s.parts());
        const Solved solved =
            solve_or_throw(s, l, {.what = Held::wheel}, s.geometry.drawn.wheel_height_mm + travel_mm[c]);
        RestCorner& corner = state.corners[c];
        corner.half_tan = solved.half_tan;
        corner.plumb = {0.0, 0.0, 1.0};
        corner.contact_mm = contact(l, solved.pose, corner.plumb);
        corner.load = strut_load(m.car.corners[c], s.parts().at(Length::spring_platform), solved.strut.spring_length);
    }
    return state;
}

/// Load that carries the unsprung weight, per mm of the contact's rise: weight * (its rise / the contact's rise).
double unsprung_by_differences(const RestModel& m, const RestState& state, std::size_t c) {
    const Setup& s = m.setups[c];
    const Parts<double> parts = s.parts();
    const Linkage<double> l = linkage(s.geometry, parts);
    const auto rate = corners::by_differences(1e-3, [&](double turned) {
        const Pose<double> p = pose(l, state.corners[c].half_tan + turned);
        const Motion<double> motion = null_motion(l, p);
        const Vec3<double> at = contact(l, p, {0.0, 0.0, 1.0});
        const Vec3<double> cg = riding(m.riders[c], parts, l, p, strut(l, p)).unsprung_cg;
        return std::array{m.car.corners[c].unsprung_kg * gravity_m_per_s2 * rise(p, motion, cg) / rise(p, motion, at),
                          at.z};
    });
    return rate[0] / rate[1];
}

}  // namespace

TEST_CASE("wheel rates are what loads change by when contacts rise under a held chassis") {
    const int seeds = test_size("wheel rates, cars", 40, 400);
    double worst = 0.0;
    int stopped = 0;
    for (int seed = 0; seed < seeds; ++seed) {
        const SprungCar s = sprung_car(seed);
        INFO(s.name);
        worst = std::max(worst, check_rates(s.model, s.state));
        stopped += std::any_of(s.state.corners.begin(), s.state.corners.end(),
                               [](const RestCorner& c) { return c.on_droop_stop; });
    }
    std::cout << "wheel rates by differences: worst " << worst << " of the rate, " << stopped << " cars on a stop\n";
    CHECK(stopped >= 5);
}

TEST_CASE("on tyres a wheel rate is still that of the contact's rise") {
    for (int seed = 0; seed < 12; ++seed) {
        if (seed % 3 == 0) continue;  // on a stop
        const SprungCar s = sprung_car(seed);
        INFO(s.name);
        const RestModel m = on_tyres(s.model);
        check_rates(m, rest(m, s.pads_mm));
    }
}

TEST_CASE("without bar and third element the rate is the corner's own curve and the unsprung weight") {
    double largest_unsprung = 0.0;
    for (int seed = 0; seed < 20; ++seed) {
        const RestModel m = rest_model(car(seed));
        Random random("travel of wheel rates", seed);
        std::array<double, corner_count> travel_mm{};
        for (double& t : travel_mm) t = random.within(6.0);
        const RestState state = held_level(m, travel_mm);
        const WheelRates rates = wheel_rates(m, state);
        for (std::size_t c = 0; c < corner_count; ++c) {
            INFO("car " << seed << ", " << corner_names[c]);
            const WheelRate& r = *rates.axles[c / 2].single[c % 2];
            std::array<double, output_count + curve_count> curve{};
            const double rack_mm = 0.0;
            curves(m.car.corners[c], {&travel_mm[c], 1}, {&rack_mm, 1}, curve.data());
            const auto at = [&](Curve what) { return curve[output_count + index(what)]; };
            const double small = 1e-9 * std::fabs(r.total_N_per_mm);
            CHECK_NEAR(r.spring_N_per_mm, at(Curve::wheel_rate_spring), small);
            CHECK_NEAR(r.rubber_N_per_mm, at(Curve::wheel_rate_rubber), small);
            CHECK_NEAR(r.load_N_per_mm, at(Curve::wheel_rate_load), small);
            const double unsprung = unsprung_by_differences(m, state, c);
            CHECK_NEAR(r.unsprung_N_per_mm, unsprung, 1e-8);
            CHECK_NEAR(r.total_N_per_mm - r.bar_N_per_mm - r.third_N_per_mm, at(Curve::wheel_rate) + unsprung, 1e-8);
            largest_unsprung = std::max(largest_unsprung, std::fabs(unsprung));
        }
    }
    CHECK(largest_unsprung > 1e-3);
}

// DERIVED: the spring lies level from its eye, 200 mm out on a level wishbone, to a point 100 mm inside the pickups, so
// L^2 = 100^2 + 200^2 + 2 100 200 cos(angle): L_a = 0, L_aa = -100 200 / 300, and the wheel rises 400 mm per radian.
TEST_CASE("where the motion ratio is zero as drawn the wheel rate is all load") {
    RestModel m = rest_model(car(0));
    for (std::size_t c = 0; c < corner_count; ++c) {
        Corner corner = corners::level_corner(false);
        corner.points[index(Point::spring_chassis)] = {0.0, 100.0, 150.0};
        corner.id = static_cast<CornerId>(c);
        if (c % 2 == 1) {
            for (auto& point : corner.points)
                if (point) *point = mirrored(*point);
            corner.wheel_axis = mirrored(corner.wheel_axis);
        }
        corner.spring.rate_N_per_mm = 120.0;
        corner.spring.load_at_drawn_N = 1000.0 + 200.0 * static_cast<double>(c);
        m.car.corners[c] = corner;
        m.setups[c] = setup(corner);
        m.riders[c] = {};
    }
    const WheelRates rates = wheel_rates(m, held_level(m, {}));
    for (std::size_t c = 0; c < corner_count; ++c)
        for (const auto* way : {&rates.axles[c / 2].single, &rates.axles[c / 2].bump, &rates.axles[c / 2].roll}) {
            const WheelRate& r = *(*way)[c % 2];
            const double load_N = 1000.0 + 200.0 * static_cast<double>(c);
            CHECK_NEAR(r.total_N_per_mm, load_N * (100.0 * 200.0 / 300.0) / (400.0 * 400.0), 1e-12);
            CHECK_NEAR(r.load_N_per_mm, r.total_N_per_mm, 1e-12);
            CHECK_NEAR(r.spring_N_per_mm, 0.0, 1e-12);
            CHECK_NEAR(r.unsprung_N_per_mm, 0.0, 1e-12);
        }
}
