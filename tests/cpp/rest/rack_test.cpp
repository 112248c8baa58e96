// The car at rest with its front wheels steered: laws, its column of the table, refusals.
#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "motion/differences.hpp"
#include "rest/places.hpp"
#include "shimwise/error.hpp"
#include "shimwise/rest/forces.hpp"
#include "shimwise/rest/solid.hpp"

using namespace shimwise;

namespace {

constexpr double rack_mm = 12.0;

std::string refusal(const RestModel& m, double at_mm) {
    try {
        with_rack(m, at_mm);
    } catch (const InputError& failure) {
        return failure.what();
    }
    return "not refused";
}

std::vector<double> steered(const RestModel& m, const PadHeights& pads, double at_mm) {
    return row(rest(with_rack(m, at_mm), pads).values, rest_outputs(m));
}

std::size_t rack_column(const std::vector<RestVariable>& variables) {
    REQUIRE(variables.back().of == RestVariable::Of::rack);
    REQUIRE(variables.back().key == "rack");
    return variables.size() - 1;
}

}  // namespace

TEST_CASE("a rack at its centre changes no bit") {
    cars::each([](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        CHECK(steered(m, pads, 0.0) == row(rest(m, pads).values, rest_outputs(m)));
    });
}

TEST_CASE("steered wheels carry the weight and balance it about their present contacts") {
    cars::each([](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const RestModel there = with_rack(m, rack_mm);
        const RestState s = rest(there, pads);
        double force = 0.0, about_y = 0.0, about_x = 0.0, total_kg = 0.0;
        const places::Places p = places::of(there, s);
        for (const places::Pressed& f : p.all()) {
            force += f.down_N;
            about_y += f.down_N * f.at.x();
            about_x += f.down_N * f.at.y();
        }
        const double all_N = m.total_kg() * gravity_m_per_s2;
        CHECK_NEAR(force / all_N, 0.0, 1e-12);
        CHECK_NEAR(about_y / (all_N * 1000.0), 0.0, 1e-9);
        CHECK_NEAR(about_x / (all_N * 1000.0), 0.0, 1e-9);
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK_NEAR(p.contacts[c].at.z(), pads[c], 1e-9);
            total_kg += s.values.loads[c][index(CornerLoad::weight)];
        }
        CHECK_NEAR(total_kg, m.total_kg(), 1e-9);
        // Both wheels to the left by some degrees, the rear ones not at all.
        const auto toe_deg = [](const RestState& state, CornerId c) { return state.values.at(c, Output::toe); };
        const RestState ahead = rest(m, pads);
        CHECK(toe_deg(s, CornerId::front_left) < toe_deg(ahead, CornerId::front_left) - 2.0);
        CHECK(toe_deg(s, CornerId::front_right) > toe_deg(ahead, CornerId::front_right) + 2.0);
        CHECK_NEAR(toe_deg(s, CornerId::rear_left), toe_deg(ahead, CornerId::rear_left), 0.1);
        CHECK(std::fabs(s.values.at(CarOutput::cross_weight) - ahead.values.at(CarOutput::cross_weight)) > 0.05);
    });
}

TEST_CASE("a car steered to the left is in a mirror one steered to the right") {
    cars::each([](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        const RestState s = rest(with_rack(m, rack_mm), pads);
        const RestState t = rest(with_rack(rest_model(cars::mirror_image(cars::car(kind))), -rack_mm),
                                 {pads[1], pads[0], pads[3], pads[2]});
        CHECK_NEAR(t.pose.height_mm, s.pose.height_mm, 1e-9);
        CHECK_NEAR(t.pose.pitch_rad, s.pose.pitch_rad, 1e-12);
        CHECK_NEAR(t.pose.roll_rad, -s.pose.roll_rad, 1e-12);
        CHECK_NEAR(t.pose.twist_rad, -s.pose.twist_rad, 1e-12);
        for (std::size_t c = 0; c < corner_count; ++c) {
            for (std::size_t l = 0; l < corner_load_count; ++l)
                CHECK_NEAR(t.values.loads[c ^ 1][l], s.values.loads[c][l], 1e-7);
            for (std::size_t o = 0; o < output_count; ++o)
                CHECK_NEAR(t.values.corners[c ^ 1][o], s.values.corners[c][o], 1e-9);
        }
        for (const CarOutput o : {CarOutput::front_bar_torque, CarOutput::rear_bar_torque})
            CHECK_NEAR(t.values.at(o), -s.values.at(o), 1e-8);
    });
}

TEST_CASE("the rack's column of the rates of rest is the difference of re-solved cars, steered or not") {
    const auto check = [](const RestModel& m, const PadHeights& pads, double at_mm) {
        const RestModel there = with_rack(m, at_mm);
        const std::vector<ValueId> outputs = rest_outputs(m);
        const Eigen::MatrixXd rates = rest_rates(there, rest(there, pads), pads);
        const auto column = static_cast<Eigen::Index>(rack_column(rest_variables(there)));
        const auto differences = corners::by_differences(0.04, [&](double h) { return steered(m, pads, at_mm + h); });
        double sum = 0.0;
        for (std::size_t o = 0; o < outputs.size(); ++o) {
            const auto i = static_cast<Eigen::Index>(o);
            INFO(column_name(outputs[o]) << " at " << at_mm << " mm");
            CHECK_NEAR(rates(i, column), differences[o], std::max(1e-7 * rates.row(i).cwiseAbs().maxCoeff(), 1e-10));
            if (outputs[o].of == ValueId::Of::load && outputs[o].index == index(CornerLoad::weight))
                sum += rates(i, column);
        }
        CHECK_NEAR(sum, 0.0, 1e-9);
    };
    cars::each([&](const cars::Kind& kind, RestModel m, const PadHeights& pads) {
        check(m, pads, 0.0);
        check(m, pads, -rack_mm);
        if (!kind.twists) return;
        INFO("on tyres");
        for (Corner& corner : m.car.corners) corner.tyre = Tyre{.loaded_radius_mm = 250.0, .rate_N_per_mm = 190.0};
        check(on_tyres(m), pads, 5.0);
    });
}

TEST_CASE("a corner with as many adjusters as two passes take has the rack in a third") {
    const cars::Kind kind = cars::kinds()[0];
    Car car = cars::car(kind);
    const RestModel few = rest_model(car);
    REQUIRE(car.corners[0].adjusters.size() < 18);
    for (std::size_t c = 0; c < 2; ++c)
        while (car.corners[c].adjusters.size() < 18 + c) {
            Adjuster spare = car.corners[c].adjusters[0];
            spare.name += std::to_string(car.corners[c].adjusters.size());
            Thread thread = *spare.thread();
            thread.now_turns = 0.0;
            spare.setting = thread;
            car.corners[c].adjusters.push_back(spare);
        }
    const RestModel many = rest_model(car);
    const PadHeights pads = cars::pads(kind);
    const auto last = [&](const RestModel& m, const auto& rates_of) {
        const Eigen::MatrixXd rates = rates_of(m);
        return Eigen::VectorXd(rates.col(static_cast<Eigen::Index>(rack_column(rest_variables(m)))));
    };
    const auto at_rest = [&](const RestModel& m) { return rest_rates(m, rest(m, pads), pads); };
    const auto on_struts = [&](const RestModel& m) {
        const SolidState solid = on_solid_struts(m, pads, drawn_struts_mm(m.car));
        return solid_rates(m, solid.stands, pads, solid_outputs(m), rest_variables(m));
    };
    CHECK((last(many, at_rest) - last(few, at_rest)).cwiseAbs().maxCoeff() < 1e-9);
    CHECK((last(many, on_struts) - last(few, on_struts)).cwiseAbs().maxCoeff() < 1e-9);
}

TEST_CASE("on solid struts the rack's column is the difference of steered cars") {
    cars::each([](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const StrutLengths struts_mm = drawn_struts_mm(m.car);
        const auto stands = [&](double at_mm) { return on_solid_struts(with_rack(m, at_mm), pads, struts_mm).stands; };
        const std::vector<ValueId> outputs = solid_outputs(m);
        const RestModel there = with_rack(m, rack_mm);
        const std::vector<RestVariable> variables = rest_variables(m);
        const Eigen::MatrixXd rates = solid_rates(there, stands(rack_mm), pads, outputs, variables);
        const auto differences =
            corners::by_differences(0.04, [&](double h) { return row(stands(rack_mm + h).values, outputs); });
        const auto column = static_cast<Eigen::Index>(rack_column(variables));
        for (std::size_t o = 0; o < outputs.size(); ++o) {
            const auto i = static_cast<Eigen::Index>(o);
            INFO(column_name(outputs[o]));
            CHECK_NEAR(rates(i, column), differences[o], std::max(1e-7 * rates.row(i).cwiseAbs().maxCoeff(), 1e-10));
        }
    });
}

TEST_CASE("forces in a steered car's corners find the loads of its springs again") {
    cars::each([](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        if (kind.stop) return;  // the stop's pull is in the spring's force, too
        const RestModel there = with_rack(m, rack_mm);
        const RestState s = rest(there, pads);
        const RestForces found = rest_forces(there, s);
        for (std::size_t c = 0; c < corner_count; ++c) {
            const StrutLoad& load = s.corners[c].load;
            CHECK_NEAR(*found.corners[c].forces.axial_N[index(Member::spring)], -(load.spring_N + load.rubber_N), 1e-5);
        }
    });
}

TEST_CASE("a rack that is not there, or not so long, is refused") {
    Car car = cars::car(cars::kinds()[0]);
    const RestModel m = rest_model(car);
    CHECK(m.has_rack());
    CHECK(refusal(m, 25.0) == "not refused");
    CHECK(refusal(m, -20.0) == "not refused");
    CHECK(refusal(m, 25.5) == "rack_mm = 25.5: goes beyond rack.travel_mm = [-20, 25]");
    CHECK(refusal(m, -20.5) == "rack_mm = -20.5: goes beyond rack.travel_mm = [-20, 25]");
    CHECK(refusal(m, std::nan("")) == "rack_mm = nan: goes beyond rack.travel_mm = [-20, 25]");
    const std::size_t variables = rest_variables(m).size();

    for (Corner& corner : car.corners) corner.rack_direction.reset();
    const RestModel fixed = rest_model(car);
    CHECK_FALSE(fixed.has_rack());
    CHECK(rest_variables(fixed).size() == variables - 1);
    CHECK(refusal(fixed, 1.0) == "rack_mm = 1: no track rod of pushrods and bars is on the rack (inner_moves)");
    car.rack.reset();
    CHECK(refusal(rest_model(car), 1.0) == "rack_mm = 1: pushrods and bars has no rack (the file has no [rack])");
}
