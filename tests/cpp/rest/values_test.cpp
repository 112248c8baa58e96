#include "shimwise/rest/values.hpp"

#include <Eigen/QR>
#include <algorithm>
#include <string>
#include <vector>

#include "catch.hpp"
#include "rest/places.hpp"
#include "shimwise/rest/rates.hpp"

using namespace shimwise;

namespace {

/// The best plane of the pads under these contacts, plumb axes: its unit normal.
Eigen::Vector3d ground_normal(const places::Places& p, const PadHeights& pads) {
    Eigen::Matrix<double, 4, 3> under;
    Eigen::Vector4d heights;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto row = static_cast<Eigen::Index>(c);
        under.row(row) << 1.0, p.contacts[c].at.x(), p.contacts[c].at.y();
        heights(row) = pads[c];
    }
    const Eigen::Vector3d plane = under.colPivHouseholderQr().solve(heights);
    return Eigen::Vector3d(-plane(1), -plane(2), 1.0).normalized();
}

}  // namespace

// The list says what a sum of toes is; the car at rest works it out by itself.
TEST_CASE("a sum of the wheels' toe is the one the list says") {
    for (const cars::Kind& kind : cars::kinds()) {
        const RestModel m = rest_model(cars::car(kind, 1));
        const RestValues<double> values = rest(m).values;
        std::size_t sums = 0;
        for (std::size_t o = 0; o < at_rest_count; ++o) {
            const auto& share = car_output_list[o].shares;
            if (!sums_wheels(car_output_list[o])) continue;
            INFO(kind.name << ": " << car_output_list[o].name);
            double sum = 0.0;
            for (std::size_t c = 0; c < corner_count; ++c)
                sum += share[c] * values.at(static_cast<CornerId>(c), Output::toe);
            CHECK_NEAR(values.car[o], sum, 1e-12);
            ++sums;
        }
        CHECK(sums == 3);
    }
}

TEST_CASE("the differences of camber and caster are left less right, and so are their derivatives") {
    for (const cars::Kind& kind : cars::kinds()) {
        INFO(kind.name);
        const RestModel m = rest_model(cars::car(kind, 1));
        const RestState state = rest(m);
        const std::array<std::pair<CarOutput, ValueId>, 3> left = {
            {{CarOutput::camber_difference_front, {CornerId::front_left, Output::camber}},
             {CarOutput::camber_difference_rear, {CornerId::rear_left, Output::camber}},
             {CarOutput::caster_difference_front, {CornerId::front_left, Output::caster}}}};
        for (const auto& [difference, one] : left) {
            const ValueId other(static_cast<CornerId>(one.corner + 1), static_cast<Output>(one.index));
            CHECK_NEAR(value(state.values, ValueId(difference)), value(state.values, one) - value(state.values, other),
                       0.0);
            const Eigen::MatrixXd rates =
                rest_rates(m, state, {}, {ValueId(difference), one, other}, rest_variables(m));
            CHECK((rates.row(0) - (rates.row(1) - rates.row(2))).cwiseAbs().maxCoeff() <= 1e-12);
            CHECK(rates.row(0).norm() > 0.0);
        }
    }
}

TEST_CASE("a car at rest has the values that it has the parts for") {
    for (const cars::Kind& kind : cars::kinds()) {
        const RestModel m = rest_model(cars::car(kind, 1));
        const std::vector<ValueId> outputs = rest_outputs(m);
        const auto has = [&](CarOutput o) {
            return std::find(outputs.begin(), outputs.end(), ValueId(o)) != outputs.end();
        };
        INFO(kind.name);
        CHECK(has(CarOutput::twist) == kind.twists);
        CHECK(has(CarOutput::front_bar_torque) == kind.front.bar);
        CHECK(has(CarOutput::rear_bar_torque) == kind.rear.bar);
        CHECK(has(CarOutput::front_third_load) == (kind.front.third != cars::ThirdBy::none));
        CHECK(has(CarOutput::rear_third_load) == (kind.rear.third != cars::ThirdBy::none));
        CHECK_FALSE(has(CarOutput::total_weight));
        CHECK_FALSE(has(CarOutput::mean_height));
    }
}

TEST_CASE("a car's values come in the order of the lists, by names that carry their unit") {
    for (const cars::Kind& kind : cars::kinds()) {
        INFO(kind.name);
        const RestModel m = rest_model(cars::car(kind));
        const RestState s = rest(m, cars::pads(kind));
        const std::vector<ValueId> outputs = rest_outputs(m);
        const std::vector<double> all = row(s.values, outputs);
        REQUIRE(all.size() == outputs.size());
        const auto of = [&](const std::string& name) {
            const auto found = std::find_if(outputs.begin(), outputs.end(),
                                            [&](const ValueId& id) { return column_name(id) == name; });
            REQUIRE(found != outputs.end());
            return all[static_cast<std::size_t>(found - outputs.begin())];
        };
        CHECK(column_name(outputs.front()) == "height_mm");
        CHECK(of("cross_weight_percent") == s.values.at(CarOutput::cross_weight));
        CHECK(of("front_left.toe_deg") == s.values.at(CornerId::front_left, Output::toe));
        CHECK(of("rear_right.weight_kg") == s.values.at(CornerId::rear_right, CornerLoad::weight));
        CHECK(of("ride_height.rear_left_mm") == s.values.ride_heights_mm[2]);
    }
}

// A pad is level by itself, so a wheel touches it at its lowest point along plumb; what is measured to there lies along
// the axes of the ground that leans.
TEST_CASE("on leaning pads trail, scrub, half track and chassis height are measured to where the wheel touches") {
    for (const cars::Kind& kind : cars::kinds()) {
        INFO(kind.name);
        const RestModel m = rest_model(cars::car(kind));
        PadHeights pads = cars::pads(kind);
        const PadHeights leaning = {0.0, 14.0, -45.0, -31.0};
        for (std::size_t c = 0; c < corner_count; ++c) pads[c] += leaning[c];
        const RestState s = rest(m, pads);
        const places::Places p = places::of(m, s);
        const Eigen::Vector3d z = ground_normal(p, pads), ahead = places::Chassis{s.pose}.turn(0.0).col(0);
        const Eigen::Vector3d x = (ahead - z * z.dot(ahead)).normalized(), y = z.cross(x);
        const Eigen::Vector3d origin(0.0, 0.0, s.pose.height_mm);
        for (std::size_t c = 0; c < corner_count; ++c) {
            INFO(corner_names[c]);
            const double outboard = c % 2 == 0 ? 1.0 : -1.0;
            const Outputs<double>& out = s.values.corners[c];
            const Eigen::Vector3d at = p.contacts[c].at;
            const Eigen::Vector3d seen(x.dot(at - origin), y.dot(at - origin) * outboard, z.dot(at - origin));
            CHECK_NEAR(out[index(Output::half_track)], seen.y(), 1e-8);
            CHECK_NEAR(out[index(Output::chassis_height)], -seen.z(), 1e-8);
            // the steering axis through its two joints, down to the contact's height over the ground
            const Setup& setup = m.setups[c];
            const Linkage<double> l = linkage(setup.geometry, setup.parts());
            const Pose<double> now = pose(l, s.corners[c].half_tan);
            const auto joint = joints(setup.parts(), l, now, strut(l, now));
            const places::Chassis chassis{s.pose};
            const Eigen::Vector3d low = chassis(joint[index(Point::lower_wishbone_outer)], places::half(c));
            const Eigen::Vector3d up = chassis(joint[index(Point::upper_wishbone_outer)], places::half(c)) - low;
            const Eigen::Vector3d foot = low + up * (z.dot(at - low) / z.dot(up));
            CHECK_NEAR(out[index(Output::trail)], x.dot(foot - at), 1e-8);
            CHECK_NEAR(out[index(Output::scrub)], y.dot(at - foot) * outboard, 1e-8);
        }
    }
}

TEST_CASE("a camber gauge reads the wheel against plumb, whatever the ground") {
    for (const cars::Kind& kind : cars::kinds()) {
        INFO(kind.name);
        const RestModel m = rest_model(cars::car(kind));
        PadHeights pads = cars::pads(kind);
        pads[1] += 20.0;
        pads[3] += 20.0;
        const RestState s = rest(m, pads);
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Linkage<double> l = linkage(m.setups[c].geometry, m.setups[c].parts());
            const Vec3<double> axis = pose(l, s.corners[c].half_tan).wheel_axis;
            const Eigen::Vector3d turned = places::Chassis{s.pose}.turn(places::half(c)) * places::vec(axis);
            const double gauge_deg = s.values.loads[c][index(CornerLoad::inclination_to_plumb)];
            CHECK_NEAR(gauge_deg, std::asin(-turned.z()) * deg_per_rad, 1e-10);
            const double over_ground_deg = s.values.corners[c][index(Output::inclination)];
            CHECK((gauge_deg - over_ground_deg) * (c % 2 == 0 ? 1.0 : -1.0) > 0.5);  // about 20 mm on the track
        }
    }
}
