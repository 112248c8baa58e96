// Cars whose setup wheels stand upright: at most of their settings a contact lies between edge and middle of its disc.
#include <cmath>

#include "catch.hpp"
#include "motion/differences.hpp"
#include "rest/places.hpp"
#include "shimwise/rest/forces.hpp"
#include "shimwise/rest/wheel_rates.hpp"

using namespace shimwise;

namespace {

Car upright(const cars::Kind& kind) {
    Car car = cars::car(kind);
    for (std::size_t c = 0; c < corner_count; ++c) car.corners[c].wheel_axis = {0.0, c % 2 == 0 ? 1.0 : -1.0, 0.0};
    return car;
}

double lean(const RestModel& m, const RestState& s, std::size_t c) {
    const Setup& setup = m.setups[c];
    const Parts<double> parts = setup.parts();
    return dot(pose(linkage(setup.geometry, parts), s.corners[c].half_tan).wheel_axis, s.corners[c].plumb);
}

struct Seen {
    int one = 0, more = 0, none = 0;
};

/// Calls `with(model, pads, state)` while the pad at the front left rises by small steps.
template <class With>
Seen as_a_pad_rises(double step_mm, const With& with) {
    Seen seen;
    for (const cars::Kind& kind : cars::kinds()) {
        if (kind.stop) continue;
        INFO(kind.name);
        const RestModel m = rest_model(upright(kind));
        PadHeights pads = cars::pads(kind);
        for (double mm = -5.0; mm < 5.0; mm += step_mm) {
            INFO("pad " << mm);
            pads[0] = mm;
            const RestState s = rest(m, pads);
            int on_width = 0;
            for (const RestCorner& corner : s.corners) on_width += corner.on_width_mm.has_value();
            ++(on_width == 0 ? seen.none : on_width == 1 ? seen.one : seen.more);
            with(m, pads, s);
        }
    }
    return seen;
}

double weight_N(const RestState& s, std::size_t c) {
    return s.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2;
}

}  // namespace

TEST_CASE("a wheel stands between edge and middle where it leans by the angle of the jump") {
    const Seen seen = as_a_pad_rises(0.04, [](const RestModel& m, const PadHeights&, const RestState& s) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            const auto& place_mm = s.corners[c].on_width_mm;
            if (!place_mm) continue;
            const double half_mm = m.setups[c].geometry.half_width_mm, leans = lean(m, s, c);
            CHECK_NEAR(std::fabs(leans), tolerances::upright_sine, 1e-12);
            const double to_lower_edge_mm = leans > 0.0 ? -*place_mm : *place_mm;
            CHECK(to_lower_edge_mm >= -1e-5);
            CHECK(to_lower_edge_mm <= half_mm + 1e-5);
        }
    });
    CHECK(seen.one > 10);
    CHECK(seen.more > 5);
    CHECK(seen.none > 10);
}

TEST_CASE("on a part of their width wheels carry the weight about where they stand, and corners are in balance") {
    as_a_pad_rises(1.0, [](const RestModel& m, const PadHeights&, const RestState& s) {
        const auto kept = with_contacts_of(m, s);
        const places::Places p = places::of(kept.value_or(m), s);
        double force = 0.0, about_y = 0.0, about_x = 0.0;
        for (const places::Pressed& f : p.all()) {
            force += f.down_N;
            about_y += f.down_N * f.at.x();
            about_x += f.down_N * f.at.y();
        }
        const double all_N = m.total_kg() * gravity_m_per_s2;
        CHECK_NEAR(force / all_N, 0.0, 1e-10);
        CHECK_NEAR(about_y / (all_N * 1000.0), 0.0, 1e-9);
        CHECK_NEAR(about_x / (all_N * 1000.0), 0.0, 1e-9);
        const RestForces forces = rest_forces(m, s);
        const WheelRates rates = wheel_rates(m, s);
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK(forces.corners[c].forces.out_of_balance_N <= 1e-9 * all_N);
            const auto& rate = rates.axles[c / 2].single[c % 2];
            CHECK(rate->total_N_per_mm > 0.0);
        }
    });
}

TEST_CASE("loads go on without a jump as a pad rises under upright wheels") {
    constexpr double step_mm = 0.01, most_N = 300.0 * step_mm;  // 3.3 N with a contact that stays half way
    std::optional<RestState> before;
    double last_mm = 1e9, most = 0.0;
    as_a_pad_rises(step_mm, [&](const RestModel&, const PadHeights& pads, const RestState& s) {
        if (pads[0] > last_mm)
            for (std::size_t c = 0; c < corner_count; ++c)
                most = std::max(most, std::fabs(weight_N(s, c) - weight_N(*before, c)));
        before = s;
        last_mm = pads[0];
    });
    CHECK(most > 0.0);
    CHECK(most < most_N);
}

TEST_CASE("rates of a car on parts of its wheels' widths are those with the contacts kept") {
    as_a_pad_rises(2.5, [](const RestModel& m, const PadHeights& pads, const RestState& s) {
        const auto kept = with_contacts_of(m, s);
        if (!kept) return;
        const std::vector<ValueId> outputs = rest_outputs(m);
        const std::vector<RestVariable> variables = rest_variables(m);
        const Eigen::MatrixXd rates = rest_rates(m, s, pads);
        for (std::size_t v = 0; v < variables.size(); v += 3) {
            INFO(variables[v].key);
            const auto by = corners::by_differences(
                1e-3, [&](double h) { return cars::values_with(*kept, pads, variables[v], h, outputs); });
            for (std::size_t o = 0; o < outputs.size(); ++o) {
                const double rate = rates(static_cast<Eigen::Index>(o), static_cast<Eigen::Index>(v));
                CHECK_NEAR(by[o], rate, 1e-6 * std::max(1.0, std::fabs(rate)));
            }
        }
    });
}
