// A car stands at every setting inside its limits, wherever its springs and stops are as drawn.
#include <cmath>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "rest/soft.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/rest/solve.hpp"

using namespace shimwise;

namespace {

RestModel demo() { return rest_model(load_car(testing::demo_path("wren.toml"))); }

/// Turns of the adjuster of this name on both corners of an axle.
void turn(RestModel& m, std::size_t axle, const std::string& name, double turns) {
    for (const std::size_t c : {2 * axle, 2 * axle + 1}) {
        const Corner& corner = m.car.corners[c];
        const std::size_t a = *corner.find(name);
        m.setups[c].amounts_mm[a] = turns * corner.adjusters[a].thread()->lead_mm();
    }
}

/// Loads carry the weight, dampers are between their stops, and a closed stop pulls.
void demand_stands(const RestModel& m, const RestState& s) {
    double all_kg = 0.0;
    for (std::size_t c = 0; c < corner_count; ++c) {
        all_kg += s.values.loads[c][index(CornerLoad::weight)];
        CHECK(s.values.loads[c][index(CornerLoad::weight)] > 0.0);
        CHECK(*s.corners[c].to_shortest_mm >= 0.0);
        CHECK(*s.corners[c].to_droop_stop_mm >= 0.0);
        CHECK(s.corners[c].stop_pull_N >= 0.0);
    }
    CHECK_NEAR(all_kg, m.total_kg(), 1e-9);
}

}  // namespace

TEST_CASE("the demo car stands with both pushrods or both platforms of its axles at any of their settings") {
    const struct {
        const char* name;
        double least, most, step, moves_mm;  // moves: most that the car's height goes by a step
    } adjusters[] = {{"pushrod", -5.0, 5.0, 0.25, 3.0}, {"spring platform", -4.0, 8.0, 0.5, 2.0}};
    for (const auto& a : adjusters) {
        RestModel m = demo();
        for (double front = a.least; front <= a.most; front += a.step) {
            turn(m, 0, a.name, front);
            double before_mm = std::nan("");
            for (double rear = a.least; rear <= a.most; rear += a.step) {
                turn(m, 1, a.name, rear);
                INFO(a.name << ": front " << front << ", rear " << rear << " turns");
                const RestState s = rest(m);
                demand_stands(m, s);
                if (rear > a.least) CHECK_NEAR(s.values.at(CarOutput::height), before_mm, a.moves_mm);
                before_mm = s.values.at(CarOutput::height);
            }
        }
    }
}

TEST_CASE("a car whose springs are loose as drawn comes down on them") {
    for (const double loose_mm : {0.5, 5.0, 12.0}) {
        RestModel m = demo();
        for (Corner& corner : m.car.corners) corner.spring.load_at_drawn_N = 0.0;
        for (const std::size_t axle : {0u, 1u}) turn(m, axle, "spring platform", -loose_mm / 1.5);
        INFO(loose_mm << " mm");
        const RestState s = rest(m);
        demand_stands(m, s);
        // Height, pitch and roll are where the energy is least.
        const RestEnergy e = rest_energy(m, s.pose);
        for (int i = 0; i < 3; ++i) {
            CHECK_NEAR(e.gradient(i) * (i == 0 ? 1.0 : 1e-3), 0.0, 1e-5);
            CHECK(e.hessian(i, i) > 0.0);
        }
    }
}

TEST_CASE("the soft car comes to rest at one place from every start, by where its car stands") {
    RestModel m = demo();
    for (const double turns : {-4.75, 0.0, 4.75}) {
        for (const std::size_t axle : {0u, 1u}) turn(m, axle, "pushrod", turns);
        const RestState s = rest(m);
        const SetCorners set = set_corners(m);
        for (const std::optional<double>& share : soft_starts) {
            const rest_system::Posture at = soft_rest(m, set, {}, share);
            CHECK_NEAR(at.pose.height_mm, s.pose.height_mm, 1e-3);
            CHECK_NEAR(at.pose.pitch_rad, s.pose.pitch_rad, 1e-6);
            CHECK_NEAR(at.pose.roll_rad, s.pose.roll_rad, 1e-6);
            for (std::size_t c = 0; c < corner_count; ++c) CHECK_NEAR(at.half_tan[c], s.corners[c].half_tan, 1e-5);
        }
    }
}
