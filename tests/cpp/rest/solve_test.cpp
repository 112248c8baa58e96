// Laws of the car at rest: balance about the present places, and an energy whose slope, curvature and loads belong
// together.
#include <Eigen/LU>
#include <cmath>

#include "catch.hpp"
#include "motion/differences.hpp"
#include "rest/places.hpp"

using namespace shimwise;
using places::Pressed;

namespace {

double total_N(const RestModel& m) { return m.total_kg() * gravity_m_per_s2; }

double weight_kg(const RestState& s, std::size_t c) { return s.values.loads[c][index(CornerLoad::weight)]; }

/// A pose off rest, every variable moved; and the same moved on by `by` in variable `which`.
ChassisPose off(const ChassisPose& rest, bool twists) {
    return {rest.height_mm + 1.3, rest.pitch_rad - 4e-4, rest.roll_rad + 9e-4, twists ? rest.twist_rad + 7e-4 : 0.0};
}
ChassisPose moved(ChassisPose pose, Eigen::Index which, double by) {
    (which == 0 ? pose.height_mm : which == 1 ? pose.pitch_rad : which == 2 ? pose.roll_rad : pose.twist_rad) += by;
    return pose;
}
Eigen::Index freedoms(const RestModel& m) { return m.twists() ? 4 : 3; }
/// Differences are taken over 0.05 mm, of angles at a metre.
double reach(Eigen::Index which) { return which == 0 ? 0.05 : 5e-5; }

}  // namespace

TEST_CASE("loads carry the weight and balance it about the present contacts") {
    int closed = 0, squeezed = 0, turning_bars = 0, loaded_thirds = 0;
    cars::each([&](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const RestState s = rest(m, pads);
        const places::Places p = places::of(m, s);
        double force = 0.0, about_y = 0.0, about_x = 0.0, about_twist = 0.0;
        for (const Pressed& f : p.all()) {
            force += f.down_N;
            about_y += f.down_N * f.at.x();
            about_x += f.down_N * f.at.y();
            about_twist += f.down_N * f.at.y() * f.share;
        }
        const double all_N = total_N(m);
        CHECK_NEAR(force / all_N, 0.0, 1e-12);
        CHECK_NEAR(about_y / (all_N * 1000.0), 0.0, 1e-9);
        CHECK_NEAR(about_x / (all_N * 1000.0), 0.0, 1e-9);
        if (m.twists()) {
            // The halves turn about the chassis' x axis, which is pitched.
            const double spring_Nmm = *m.car.chassis_twist_Nm_per_deg * 1000.0 * deg_per_rad * s.pose.twist_rad;
            const double asked_Nmm = about_twist * std::cos(s.pose.pitch_rad);
            CHECK(std::fabs(spring_Nmm) > 1e3);
            CHECK_NEAR((spring_Nmm + asked_Nmm) / (all_N * 1000.0), 0.0, 1e-9);
        } else {
            CHECK(s.pose.twist_rad == 0.0);
        }
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK_NEAR(p.contacts[c].at.z(), pads[c], 1e-9);
            CHECK((p.contacts[c].at - places::Chassis{s.pose}(s.corners[c].contact_mm, places::half(c))).norm() < 1e-9);
            closed += s.corners[c].on_droop_stop;
            squeezed += s.corners[c].load.rubber_N > 0.0;
        }
        for (const CarOutput o : {CarOutput::front_bar_torque, CarOutput::rear_bar_torque})
            turning_bars += std::fabs(s.values.at(o)) > 1.0;
        for (const CarOutput o : {CarOutput::front_third_load, CarOutput::rear_third_load})
            loaded_thirds += s.values.at(o) > 100.0;
    });
    // The cars are what they are meant to be.
    CHECK(closed == 2);
    CHECK(squeezed >= 2);
    CHECK(turning_bars >= 8);
    CHECK(loaded_thirds >= 4);
}

TEST_CASE("the energy's slope is zero at rest, and it falls at every step of the search") {
    cars::each([&](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        const RestState s = rest(m, pads);
        if (!kind.mirror) CHECK(s.energies_Nmm.size() >= 2);
        for (std::size_t i = 1; i < s.energies_Nmm.size(); ++i) CHECK(s.energies_Nmm[i] <= s.energies_Nmm[i - 1]);
        if (kind.stop) return;  // the stop's pull is no part of this energy
        const RestEnergy e = rest_energy(m, s.pose, pads);
        CHECK_NEAR(e.gradient(0) / total_N(m), 0.0, 1e-9);
        for (Eigen::Index i = 1; i < freedoms(m); ++i) CHECK_NEAR(e.gradient(i) / (total_N(m) * 1000.0), 0.0, 1e-9);
        CHECK_NEAR(e.energy_Nmm / s.energies_Nmm.back(), 1.0, 1e-12);
        for (std::size_t c = 0; c < corner_count; ++c)
            CHECK_NEAR(e.load_N[c] / gravity_m_per_s2, weight_kg(s, c), 1e-9 * m.total_kg());
        for (const double by : {-0.5, 0.5})
            for (Eigen::Index i = 0; i < freedoms(m); ++i) {
                const double there = rest_energy(m, moved(s.pose, i, by * reach(i)), pads).energy_Nmm;
                CHECK(there > e.energy_Nmm);
            }
    });
}

TEST_CASE("gradient and loads are differences of the energy, the Hessian those of the gradient") {
    cars::each([&](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const ChassisPose pose = off(rest(m, pads).pose, m.twists());
        const RestEnergy e = rest_energy(m, pose, pads);
        CHECK(e.gradient.head(freedoms(m)).cwiseAbs().minCoeff() > 1.0);
        CHECK((e.hessian - e.hessian.transpose()).cwiseAbs().maxCoeff() <= 1e-12 * e.hessian.cwiseAbs().maxCoeff());
        for (Eigen::Index i = 0; i < freedoms(m); ++i) {
            INFO("variable " << i);
            const auto by_own = corners::by_differences(reach(i), [&](double h) {
                const RestEnergy there = rest_energy(m, moved(pose, i, h), pads);
                return std::array<double, 5>{there.energy_Nmm, there.gradient(0), there.gradient(1), there.gradient(2),
                                             there.gradient(3)};
            });
            CHECK_NEAR(by_own[0], e.gradient(i), 1e-8 * total_N(m) * (i == 0 ? 1.0 : 1000.0));
            for (Eigen::Index j = 0; j < freedoms(m); ++j) {
                const double size = std::sqrt(std::fabs(e.hessian(i, i) * e.hessian(j, j)));
                CHECK_NEAR(by_own[static_cast<std::size_t>(j) + 1] / size, e.hessian(i, j) / size, 1e-8);
                CHECK_NEAR(e.hessian(i, j) / size, e.hessian(j, i) / size, 1e-12);
            }
        }
        for (std::size_t c = 0; c < corner_count; ++c) {
            const auto by_pad = corners::by_differences(reach(0), [&](double h) {
                PadHeights there = pads;
                there[c] += h;
                return std::array{rest_energy(m, pose, there).energy_Nmm};
            });
            CHECK_NEAR(by_pad[0] / total_N(m), e.load_N[c] / total_N(m), 1e-8);
        }
    });
}

TEST_CASE("a weight on a pad is how the least energy grows with the pad's height") {
    cars::each([&](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const RestState s = rest(m, pads);
        for (std::size_t c = 0; c < corner_count; ++c) {
            const auto by_pad = corners::by_differences(reach(0), [&](double h) {
                PadHeights there = pads;
                there[c] += h;
                return std::array{rest(m, there).energies_Nmm.back()};
            });
            CHECK_NEAR(by_pad[0] / total_N(m), weight_kg(s, c) / m.total_kg(), 1e-8);
        }
    });
}

TEST_CASE("a car seen in a mirror stands as its mirror image") {
    const auto check = [](const RestModel& m, const PadHeights& pads, const RestModel& mirrored,
                          const PadHeights& mirrored_pads) {
        const RestState s = rest(m, pads), t = rest(mirrored, mirrored_pads);
        CHECK_NEAR(t.pose.height_mm, s.pose.height_mm, 1e-9);
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK_NEAR(weight_kg(t, c ^ 1), weight_kg(s, c), 1e-9);
            CHECK_NEAR(t.corners[c ^ 1].load.spring_N, s.corners[c].load.spring_N, 1e-7);
            CHECK_NEAR(t.corners[c ^ 1].stop_pull_N, s.corners[c].stop_pull_N, 1e-7);
            for (std::size_t o = 0; o < output_count; ++o)
                CHECK_NEAR(t.values.corners[c ^ 1][o], s.values.corners[c][o], 1e-9);
        }
        for (const CarOutput o : {CarOutput::height, CarOutput::pitch, CarOutput::rake, CarOutput::rake_angle,
                                  CarOutput::front_share, CarOutput::total_toe_front, CarOutput::total_toe_rear})
            CHECK_NEAR(t.values.at(o), s.values.at(o), 1e-9);
        for (const CarOutput o : {CarOutput::front_third_load, CarOutput::rear_third_load})
            CHECK_NEAR(t.values.at(o), s.values.at(o), 1e-7);
        for (const CarOutput o : {CarOutput::roll, CarOutput::twist, CarOutput::front_difference,
                                  CarOutput::rear_difference, CarOutput::thrust_angle})
            CHECK_NEAR(t.values.at(o), -s.values.at(o), 1e-9);
        for (const CarOutput o : {CarOutput::front_bar_torque, CarOutput::rear_bar_torque})
            CHECK_NEAR(t.values.at(o), -s.values.at(o), 1e-8);
        for (const CarOutput o : {CarOutput::cross_weight, CarOutput::left_share})
            CHECK_NEAR(t.values.at(o) - 50.0, 50.0 - s.values.at(o), 1e-9);
        CHECK_NEAR(t.values.ride_heights_mm[0], s.values.ride_heights_mm[1], 1e-9);
        CHECK_NEAR(t.values.ride_heights_mm[4], s.values.ride_heights_mm[4], 1e-9);
    };
    cars::each([&](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        check(m, pads, rest_model(cars::mirror_image(cars::car(kind))), {pads[1], pads[0], pads[3], pads[2]});
        if (kind.mirror) check(m, {}, m, {});
        if (kind.mirror) CHECK_NEAR(rest(m).values.at(CarOutput::cross_weight), 50.0, 1e-9);
    });
}

TEST_CASE("the road to the settings does not matter, and turning back leads back") {
    cars::each([&](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const auto turned = [](RestModel model, std::size_t c, const std::string& name, double by_mm) {
            model.setups[c].amounts_mm[*model.car.corners[c].find(name)] += by_mm;
            return model;
        };
        const RestState before = rest(m, pads);
        const RestModel one = turned(turned(m, 0, "track rod", 0.7), 3, "spring platform", -1.1);
        const RestModel other = turned(turned(m, 3, "spring platform", -1.1), 0, "track rod", 0.7);
        const RestModel back = turned(turned(one, 3, "spring platform", 1.1), 0, "track rod", -0.7);
        const std::vector<ValueId> outputs = rest_outputs(m);
        const std::vector<double> here = row(before.values, outputs), home = row(rest(back, pads).values, outputs);
        const std::vector<double> there = row(rest(one, pads).values, outputs);
        const std::vector<double> there_too = row(rest(other, pads).values, outputs);
        for (std::size_t o = 0; o < outputs.size(); ++o) {
            INFO(column_name(outputs[o]));
            CHECK_NEAR(home[o], here[o], 1e-9 * (1.0 + std::fabs(here[o])));
            CHECK_NEAR(there_too[o], there[o], 1e-9 * (1.0 + std::fabs(there[o])));
        }
        CHECK(std::fabs(there[0] - here[0]) > 1e-3);
    });
}
