// The car at rest in its special states: droop stops, a chassis that twists, tyres.
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "catch.hpp"
#include "motion/differences.hpp"
#include "rest/cars.hpp"
#include "shimwise/motion/closing.hpp"

using namespace shimwise;

namespace {

double weight_kg(const RestState& s, std::size_t c) { return s.values.loads[c][index(CornerLoad::weight)]; }

cars::Kind kind_named(const std::string& name) {
    for (const cars::Kind& kind : cars::kinds())
        if (kind.name == name) return kind;
    throw std::out_of_range(name);
}

/// Every value of one state is the other's, to this share of itself or of 1.
void check_same(const RestModel& m, const RestState& a, const RestState& b, double share) {
    const std::vector<ValueId> outputs = rest_outputs(m);
    const std::vector<double> one = row(a.values, outputs), other = row(b.values, outputs);
    for (std::size_t o = 0; o < outputs.size(); ++o) {
        INFO(column_name(outputs[o]));
        CHECK_NEAR(one[o], other[o], share * (1.0 + std::fabs(other[o])));
    }
}

/// Spring shortening over contact rise, by differences along plumb.
double motion_ratio(const Setup& setup, const RestCorner& corner) {
    const Linkage<double> l = linkage(setup.geometry, setup.parts());
    const Hold hold{Held::contact, corner.plumb};
    const double height_mm = dot(corner.contact_mm, corner.plumb), h = 1e-2;
    const auto length_mm = [&](double at) {
        return solve_or_throw(setup, l, hold, at, corner.half_tan).strut.spring_length;
    };
    return (length_mm(height_mm - h) - length_mm(height_mm + h)) / (2.0 * h);
}

}  // namespace

TEST_CASE("a damper on its droop stop is a rigid link that pulls, and is said") {
    int closed = 0;
    cars::each([&](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        const RestState s = rest(m, pads);
        for (std::size_t c = 0; c < corner_count; ++c) {
            const RestCorner& corner = s.corners[c];
            const double longest_mm = m.car.corners[c].damper->longest_mm;
            const double length_mm = s.values.corners[c][index(Output::spring_length)];
            CHECK_NEAR(*corner.to_shortest_mm, length_mm - m.car.corners[c].damper->shortest_mm, 1e-9);
            CHECK_NEAR(*corner.to_droop_stop_mm, longest_mm - length_mm, 1e-9);
            CHECK(corner.on_droop_stop == (kind.stop && c == 0));
            if (!corner.on_droop_stop) {
                CHECK(*corner.to_droop_stop_mm > 1.0);
                CHECK(corner.stop_pull_N == 0.0);
                CHECK(corner.missing_N == 0.0);
                continue;
            }
            ++closed;
            CHECK(corner.stop_pull_N > 100.0);
            CHECK_NEAR(corner.missing_N / (corner.stop_pull_N * motion_ratio(m.setups[c], corner)), 1.0, 1e-6);
        }
    });
    CHECK(closed == 2);
}

TEST_CASE("a closed stop does what a spring weaker by its pull does") {
    cars::each([](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        if (!kind.stop) return;
        const RestState s = rest(m, pads);
        RestModel weaker = m;
        Corner& corner = weaker.car.corners[0];
        *corner.spring.load_at_drawn_N -= s.corners[0].stop_pull_N;
        corner.damper->longest_mm += 30.0;
        const RestState t = rest(weaker, pads);
        CHECK_FALSE(t.corners[0].on_droop_stop);
        CHECK_NEAR(t.pose.height_mm, s.pose.height_mm, 1e-9);
        CHECK_NEAR(t.pose.roll_rad, s.pose.roll_rad, 1e-12);
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK_NEAR(t.corners[c].half_tan, s.corners[c].half_tan, 1e-11);
            CHECK_NEAR(weight_kg(t, c), weight_kg(s, c), 1e-7);
        }
    });
}

TEST_CASE("a stop opens where it would push, and an open one does nothing") {
    cars::each([](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        if (!kind.stop) return;
        const RestState s = rest(m, pads);
        const double pull_N = s.corners[0].stop_pull_N;
        const auto weaker = [&](double by_N) {
            RestModel w = m;
            *w.car.corners[0].spring.load_at_drawn_N -= by_N;
            return w;
        };
        // While it pulls the car stands where it stood, and the stop bears what the spring lost.
        const RestState closed = rest(weaker(pull_N - 25.0), pads);
        CHECK(closed.corners[0].on_droop_stop);
        CHECK_NEAR(closed.corners[0].stop_pull_N, 25.0, 1e-6);
        for (std::size_t c = 0; c < corner_count; ++c) CHECK_NEAR(weight_kg(closed, c), weight_kg(s, c), 1e-8);

        RestModel open = weaker(pull_N + 25.0);
        const RestState t = rest(open, pads);
        CHECK_FALSE(t.corners[0].on_droop_stop);
        CHECK(*t.corners[0].to_droop_stop_mm > 0.01);
        CHECK(weight_kg(t, 0) < weight_kg(s, 0));
        open.car.corners[0].damper->longest_mm += 100.0;
        check_same(m, t, rest(open, pads), 1e-10);
    });
}

TEST_CASE("a stop that closed on the way is released") {
    // A pull rod on the right alone, and a bar that lets both rise only together. With all stops open the right damper
    // is the furthest past its stop; the left one, closed after it, holds the axle lower than the right stop does.
    const cars::Kind push = {.name = "unequal",
                             .front = {Body::lower_wishbone, true, true},
                             .rear = {Body::lower_wishbone, true, false},
                             .set = false};
    cars::Kind pull = push;
    pull.front.strut_on = Body::upper_wishbone;
    Car car = cars::car(push);
    const Car other = cars::car(pull);
    car.corners[1] = other.corners[1];
    car.bars[0]->arm[1] = other.bars[0]->arm[1];
    car.bars[0]->bearing[1] = other.bars[0]->bearing[1];
    car.bars[0]->rate_Nm_per_deg = 3000.0;
    RestModel m = rest_model(car);
    const RestState open = rest(m);
    const std::array<double, 2> past_mm = {1.0, 1.08};
    for (const std::size_t c : {0u, 1u})
        m.car.corners[c].damper->longest_mm = open.values.corners[c][index(Output::spring_length)] - past_mm[c];
    const RestState s = rest(m);
    CHECK(s.corners[0].on_droop_stop);
    CHECK(s.corners[0].stop_pull_N > 0.0);
    CHECK_FALSE(s.corners[1].on_droop_stop);
    CHECK(*s.corners[1].to_droop_stop_mm > 0.05);
}

TEST_CASE("a very stiff chassis stands as a rigid one") {
    const cars::Kind kind = kind_named("pushrods and bars");
    Car car = cars::car(kind);
    const RestModel rigid = rest_model(car);
    const RestState stiffest = rest(rigid, cars::pads(kind));
    const auto off_kg = [&](double rate_Nm_per_deg) {
        car.chassis_twist_Nm_per_deg = rate_Nm_per_deg;
        return weight_kg(rest(rest_model(car), cars::pads(kind)), 0) - weight_kg(stiffest, 0);
    };
    CHECK(std::fabs(off_kg(1e3)) > 1.0);
    CHECK_NEAR(off_kg(1e6) / off_kg(1e7), 10.0, 2e-2);
    CHECK_NEAR(off_kg(1e10), 0.0, 1e-5);
    car.chassis_twist_Nm_per_deg = 1e10;
    check_same(rigid, rest(rest_model(car), cars::pads(kind)), stiffest, 1e-5);
}

TEST_CASE("a chassis that does not resist twist keeps its axles apart") {
    const cars::Kind kind = kind_named("pushrods and bars");
    Car car = cars::car(kind);
    const auto rear_kg_per_mm = [&](std::optional<double> rate_Nm_per_deg) {
        car.chassis_twist_Nm_per_deg = rate_Nm_per_deg;
        RestModel m = rest_model(car);
        m.weights[0].at_mm.y = m.weights[0].at_mm.z = 0.0;  // on the axis about which the halves turn
        const RestState s = rest(m);
        const std::vector<ValueId> outputs = rest_outputs(m);
        const std::vector<RestVariable> variables = rest_variables(m);
        const Eigen::MatrixXd rates = rest_rates(m, s);
        for (std::size_t v = 0; v < variables.size(); ++v)
            for (std::size_t o = 0; o < outputs.size(); ++o)
                if (variables[v].key == "pad.front_left" && column_name(outputs[o]) == "rear_difference_kg")
                    return rates(static_cast<Eigen::Index>(o), static_cast<Eigen::Index>(v));
        throw std::out_of_range("no rear difference");
    };
    const double rigid = rear_kg_per_mm({}), half = rear_kg_per_mm(900.0), none = rear_kg_per_mm(1e-6);
    CHECK(rigid < -10.0);
    CHECK(half / rigid > 0.3);
    CHECK(half / rigid < 0.95);
    CHECK_NEAR(none / rigid, 0.0, 1e-3);
}

TEST_CASE("on its tyres the car stands as on rigid wheels of their loaded radius, on pads lower by their squeeze") {
    cars::each([](const cars::Kind& kind, RestModel m, const PadHeights& pads) {
        for (std::size_t c = 0; c < corner_count; ++c)
            m.car.corners[c].tyre =
                Tyre{.loaded_radius_mm = c < 2 ? 251.0 : 257.0, .rate_N_per_mm = 190.0 + 11.0 * static_cast<double>(c)};
        const RestModel soft = on_tyres(m);
        RestModel hard = m;
        for (std::size_t c = 0; c < corner_count; ++c) {
            hard.setups[c].geometry.wheel_radius_mm = m.car.corners[c].tyre->loaded_radius_mm;
            hard.setups[c].geometry.half_width_mm = hard.setups[c].geometry.offset_mm = 0.0;
        }
        const RestState level = rest(hard);
        check_same(m, rest(soft), level, 1e-9);

        const RestState s = rest(soft, pads);
        PadHeights lower = pads;
        double most_mm = 0.0;
        for (std::size_t c = 0; c < corner_count; ++c) {
            const double squeeze_mm =
                (weight_kg(s, c) - weight_kg(level, c)) * gravity_m_per_s2 / *m.car.corners[c].tyre->rate_N_per_mm;
            lower[c] -= squeeze_mm;
            most_mm = std::max(most_mm, std::fabs(squeeze_mm));
        }
        if (!kind.mirror) CHECK(most_mm > 0.01);
        const RestState t = rest(hard, lower);
        CHECK_NEAR(s.pose.height_mm, t.pose.height_mm, 1e-9);
        CHECK_NEAR(s.pose.pitch_rad, t.pose.pitch_rad, 1e-12);
        CHECK_NEAR(s.pose.roll_rad, t.pose.roll_rad, 1e-12);
        CHECK_NEAR(s.pose.twist_rad, t.pose.twist_rad, 1e-12);
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK_NEAR(weight_kg(s, c), weight_kg(t, c), 1e-8);
            CHECK_NEAR(s.corners[c].half_tan, t.corners[c].half_tan, 1e-11);
            CHECK(s.corners[c].on_droop_stop == t.corners[c].on_droop_stop);
            CHECK_NEAR(s.corners[c].stop_pull_N, t.corners[c].stop_pull_N, 1e-6);
        }
        CHECK(s.corners[0].on_droop_stop == kind.stop);
    });
}

TEST_CASE("a tyre is in series with what carries it: K' = (I + K / tyre rate)^-1 K") {
    cars::each([](const cars::Kind&, RestModel m, const PadHeights&) {
        for (Corner& corner : m.car.corners) corner.tyre = Tyre{.loaded_radius_mm = 250.0, .rate_N_per_mm = 210.0};
        RestModel hard = m;
        for (Setup& setup : hard.setups) {
            setup.geometry.wheel_radius_mm = 250.0;
            setup.geometry.half_width_mm = setup.geometry.offset_mm = 0.0;
        }
        // By differences of whole solutions: load by pad height, N/mm.
        const auto stiffness = [](const RestModel& model) {
            Eigen::Matrix4d K;
            for (std::size_t j = 0; j < corner_count; ++j) {
                const auto loads = corners::by_differences(0.02, [&](double h) {
                    PadHeights pads{};
                    pads[j] += h;
                    const RestState s = rest(model, pads);
                    std::array<double, corner_count> load_N{};
                    for (std::size_t c = 0; c < corner_count; ++c) load_N[c] = weight_kg(s, c) * gravity_m_per_s2;
                    return load_N;
                });
                for (std::size_t c = 0; c < corner_count; ++c)
                    K(static_cast<Eigen::Index>(c), static_cast<Eigen::Index>(j)) = loads[c];
            }
            return K;
        };
        const Eigen::Matrix4d K = stiffness(hard);
        const Eigen::Matrix4d softer = (Eigen::Matrix4d::Identity() + K / 210.0).inverse() * K;
        CHECK(K.cwiseAbs().maxCoeff() > 1.1 * softer.cwiseAbs().maxCoeff());
        CHECK((stiffness(on_tyres(m)) - softer).cwiseAbs().maxCoeff() <= 1e-7 * K.cwiseAbs().maxCoeff());
    });
}
