#include "shimwise/rest/rates.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "motion/differences.hpp"
#include "rest/cars.hpp"

using namespace shimwise;

namespace {

using Of = RestVariable::Of;

std::array<std::size_t, corner_count> weight_rows(const std::vector<ValueId>& outputs) {
    std::array<std::size_t, corner_count> rows{};
    for (std::size_t o = 0; o < outputs.size(); ++o)
        if (outputs[o].of == ValueId::Of::load && outputs[o].index == index(CornerLoad::weight))
            rows[outputs[o].corner] = o;
    return rows;
}

/// The same output or variable of the car's mirror image.
std::string other_side(std::string name) {
    for (const std::string from : {"_left", "_right"})
        if (const auto at = name.find(from); at != std::string::npos)
            return name.replace(at, from.size(), from == "_left" ? "_right" : "_left");
    return name;
}

template <class List>
std::size_t place(const List& list, const std::string& name) {
    for (std::size_t i = 0; i < list.size(); ++i) {
        if constexpr (std::is_same_v<List, std::vector<ValueId>>) {
            if (column_name(list[i]) == name) return i;
        } else {
            if (list[i].key == name) return i;
        }
    }
    FAIL("no " << name);
    return list.size();
}

}  // namespace

TEST_CASE("every column of the rates of rest is the difference of re-solved cars") {
    const auto check = [](const RestModel& m, const PadHeights& pads) {
        const std::vector<ValueId> outputs = rest_outputs(m);
        const std::vector<RestVariable> variables = rest_variables(m);
        const Eigen::MatrixXd rates = rest_rates(m, rest(m, pads), pads);
        REQUIRE(rates.rows() == static_cast<Eigen::Index>(outputs.size()));
        REQUIRE(rates.cols() == static_cast<Eigen::Index>(variables.size()));
        const Eigen::VectorXd largest = rates.cwiseAbs().rowwise().maxCoeff();
        for (std::size_t v = 0; v < variables.size(); ++v) {
            const auto differences = corners::by_differences(
                0.04, [&](double h) { return cars::values_with(m, pads, variables[v], h, outputs); });
            for (std::size_t o = 0; o < outputs.size(); ++o) {
                const auto i = static_cast<Eigen::Index>(o), j = static_cast<Eigen::Index>(v);
                INFO(column_name(outputs[o]) << " by " << variables[v].key);
                // What a stop holds does not change at all.
                CHECK_NEAR(rates(i, j), differences[o], std::max(1e-7 * largest(i), 1e-10));
            }
        }
    };
    cars::each([&](const cars::Kind& kind, RestModel m, const PadHeights& pads) {
        check(m, pads);
        if (!kind.twists) return;
        INFO("on tyres");
        for (Corner& corner : m.car.corners) corner.tyre = Tyre{.loaded_radius_mm = 250.0, .rate_N_per_mm = 190.0};
        check(on_tyres(m), pads);
    });
}

TEST_CASE("what an adjuster or a pad takes from one corner it gives to the others, and ballast adds its mass") {
    cars::each([](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const auto weights = weight_rows(rest_outputs(m));
        const std::vector<RestVariable> variables = rest_variables(m);
        const Eigen::MatrixXd rates = rest_rates(m, rest(m, pads), pads);
        for (std::size_t v = 0; v < variables.size(); ++v) {
            INFO(variables[v].key);
            double sum = 0.0;
            for (const std::size_t w : weights)
                sum += rates(static_cast<Eigen::Index>(w), static_cast<Eigen::Index>(v));
            CHECK_NEAR(sum, variables[v].of == Of::ballast ? 1.0 : 0.0, 1e-9);
        }
    });
}

TEST_CASE("the rates of a car whose sides are alike is its own mirror image") {
    for (const cars::Kind& kind : cars::kinds()) {
        if (!kind.mirror) continue;
        const RestModel m = rest_model(cars::car(kind));
        const std::vector<ValueId> outputs = rest_outputs(m);
        const std::vector<RestVariable> variables = rest_variables(m);
        const Eigen::MatrixXd rates = rest_rates(m, rest(m));
        const std::vector<std::string> odd = {"roll_deg",           "twist_deg",        "cross_weight_percent",
                                              "left_share_percent", "front_difference", "rear_difference",
                                              "thrust_angle_deg",   "front_bar_torque", "rear_bar_torque"};
        for (std::size_t o = 0; o < outputs.size(); ++o)
            for (std::size_t v = 0; v < variables.size(); ++v) {
                INFO(column_name(outputs[o]) << " by " << variables[v].key);
                double sign = 1.0;
                for (const std::string& name : odd)
                    if (column_name(outputs[o]).starts_with(name)) sign = -1.0;
                if (variables[v].of == Of::rack) sign = -sign;
                const double here = rates(static_cast<Eigen::Index>(o), static_cast<Eigen::Index>(v));
                const double there =
                    rates(static_cast<Eigen::Index>(place(outputs, other_side(column_name(outputs[o])))),
                          static_cast<Eigen::Index>(place(variables, other_side(variables[v].key))));
                CHECK_NEAR(there, sign * here, 1e-9 * (1.0 + std::fabs(here)));
            }
    }
}
