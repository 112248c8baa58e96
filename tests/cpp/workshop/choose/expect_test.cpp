#include "shimwise/workshop/choose/expect.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/rest/solve.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

Car standing(const Morning& m) { return as_read(m.car, m.measured().read); }

const ExpectedCorner& at(const Expected& expected, CornerId id) { return expected.corners[index(id)]; }

void turn(Car& car, CornerId id, const std::string& name, double turns) {
    std::get<Thread>(car[id].adjusters[*car[id].find(name)].setting).now_turns += turns;
}

void refill(Car& car, CornerId id, const std::string& name, const std::vector<double>& shims_mm) {
    std::get<Stack>(car[id].adjusters[*car[id].find(name)].setting).fitted_mm = shims_mm;
}

}  // namespace

TEST_CASE("what is expected of a planned car is what its plan says") {
    Morning m = wren_morning();
    m.readings.front_bar_mm = {906.0, 905.0};
    const Measured measured = m.measured();
    const Plan p = plan(m.car, measured, m.targets);
    for (const Which which : {Which::nothing, Which::closest, Which::least_work}) {
        INFO(which_names[index(which)]);
        const Expected expected = expect(measured, standing(m), car_after(m.car, p, which));
        int compared = 0;
        for (const PlannedValue& value : p.choice(which)->values) {
            if (value.id.of != ValueId::Of::corner) continue;
            const Expectation& then = at(expected, static_cast<CornerId>(value.id.corner)).then;
            if (value.id.is(Output::toe)) CHECK_NEAR(*then.toe_deg, value.then, 1e-12);
            if (value.id.is(Output::camber)) CHECK_NEAR(*then.camber_deg, value.then, 1e-12);
            compared += value.id.is(Output::toe) || value.id.is(Output::camber) ? 1 : 0;
        }
        CHECK(compared == 8);
        CHECK_NEAR(expected.minutes, p.choice(which)->minutes, 1e-9);
    }
}

TEST_CASE("what was read is what is expected where nothing is turned, and the change is the model's") {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    Car after = standing(m);
    turn(after, CornerId::front_left, "track rod", 2.0 / 6.0);
    turn(after, CornerId::front_left, "upper rear leg", 0.5);
    refill(after, CornerId::front_left, "camber shim", {2.0, 1.0, 0.5});
    const Expected expected = expect(measured, standing(m), after);
    const ExpectedCorner& turned = at(expected, CornerId::front_left);
    REQUIRE(turned.turned.size() == 3);
    CHECK(turned.turned[0].words == "2 flats longer (0.333 turn)");
    CHECK(turned.turned[1].words == "add 0.5 mm: pack 2.0 + 1.0 + 0.5 mm");
    CHECK(turned.turned[2].words == "1 half turn longer (0.5 turn)");
    CHECK_NEAR(turned.turned[1].before, 3.0, 1e-12);
    CHECK_NEAR(turned.turned[1].after, 3.5, 1e-12);
    CHECK_NEAR(expected.minutes, 4.0 + 12.0 + 15.0, 1e-12);

    // The same model, asked by hand: the whole car at rest, before and after.
    const auto at_rest = [&m](const Car& car) { return rest(rest_model(car), *m.readings.pad_height_mm).values; };
    const RestValues<double> was = at_rest(standing(m)), is = at_rest(after);
    const auto change = [&](Output output) {
        return is.at(CornerId::front_left, output) - was.at(CornerId::front_left, output);
    };
    CHECK(expected.held == CarHeld::rest);
    CHECK(std::fabs(change(Output::toe)) > 0.1);
    CHECK_NEAR(*turned.then.toe_deg, *measured.value("front_left.toe") + change(Output::toe), 1e-12);
    CHECK_NEAR(*turned.then.camber_deg, *measured.value("front_left.camber") + change(Output::camber), 1e-12);
    for (const Output output : {Output::caster, Output::kingpin_inclination, Output::half_track, Output::trail}) {
        CHECK(std::fabs(change(output)) > 1e-3);
        CHECK_NEAR(turned.change(output), change(output), 1e-12);
    }
    // A corner by itself, its contact held, is near: the chassis hardly moves for a track rod and a shim.
    const Ground& ground = measured.ground;
    const auto alone = [&](const Car& car) {
        return outputs_on(ground, car[CornerId::front_left])[index(Output::toe)];
    };
    CHECK(std::fabs(alone(after) - alone(standing(m)) - change(Output::toe)) < 0.01 * std::fabs(change(Output::toe)));

    for (const CornerId id : {CornerId::front_left, CornerId::rear_right}) {
        const CornerReadings& read = m.readings.corners[index(id)];
        CHECK_NEAR(*at(expected, id).now.flag_difference_mm, read.flags_mm->front_mm - read.flags_mm->rear_mm, 1e-9);
        CHECK_NEAR(*at(expected, id).now.gauge_deg, read.camber_deg->facing, 1e-9);
    }
    CHECK_NEAR(*at(expected, CornerId::rear_right).then.toe_deg, *at(expected, CornerId::rear_right).now.toe_deg, 1e-2);
}

TEST_CASE("the next reading scatters by both readings and by what a hand misses") {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    Car after = standing(m);
    turn(after, CornerId::rear_left, "toe link", 0.25);
    refill(after, CornerId::rear_left, "camber shim", {2.0, 0.5, 0.2});  // one shim out, two in
    const Expected expected = expect(measured, standing(m), after);
    const ExpectedCorner& corner = at(expected, CornerId::rear_left);
    const Ground& ground = measured.ground;
    const Rates r = rates(setup(standing(m)[CornerId::rear_left]), ground.hold(), ground.held_value(), ground.frame);
    const Corner& drawn = m.car[CornerId::rear_left];
    const double link = r.per_mm[*drawn.find("toe link")][index(Output::toe)] * 0.005 * 2.5;
    const double shim = r.per_mm[*drawn.find("camber shim")][index(Output::toe)] * 0.01 * std::sqrt(3.0);
    const auto i = static_cast<Eigen::Index>(*measured.find("rear_left.toe"));
    const double read = std::sqrt(2.0 * measured.repeat_covariance(i, i));
    CHECK_NEAR(*corner.now.toe_deviation_deg, read, 1e-12);
    CHECK_NEAR(*corner.then.toe_deviation_deg, std::hypot(read, link, shim), 1e-12);

    const auto total = [&](const char* name) {
        return *std::find_if(expected.totals.begin(), expected.totals.end(),
                             [&](const ExpectedTotal& t) { return key(t.id) == name; });
    };
    const auto both = static_cast<Eigen::Index>(*measured.find("total_toe_rear"));
    const double both_read = std::sqrt(2.0 * measured.repeat_covariance(both, both));
    CHECK_NEAR(total("total_toe_rear").deviation_deg, std::hypot(both_read, link, shim), 1e-12);
    const double other = at(expected, CornerId::rear_right).change(Output::toe);
    CHECK_NEAR(total("total_toe_rear").then_deg - total("total_toe_rear").now_deg, corner.change(Output::toe) + other,
               1e-12);
    const auto thrust = static_cast<Eigen::Index>(*measured.find("thrust_angle"));
    const double thrust_read = std::sqrt(2.0 * measured.repeat_covariance(thrust, thrust));
    CHECK_NEAR(total("thrust_angle").deviation_deg, std::hypot(thrust_read, 0.5 * link, 0.5 * shim), 1e-12);
    CHECK_NEAR(total("thrust_angle").then_deg - total("thrust_angle").now_deg,
               0.5 * (corner.change(Output::toe) - other), 1e-12);
    CHECK_NEAR(total("total_toe_front").then_deg, total("total_toe_front").now_deg, 1e-3);  // the chassis hardly moves
}

namespace {

const CarValue& car_value(const Expected& expected, const std::string& name) {
    return *std::find_if(expected.car_values.begin(), expected.car_values.end(),
                         [&](const CarValue& v) { return key(v.id) == name; });
}

double change(const CarValue& value) { return value.then - value.now; }

}  // namespace

TEST_CASE("ride heights and corner weights are predicted: a pushrod lifts its corner and loads its diagonal") {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    Car after = standing(m);
    turn(after, CornerId::rear_right, "pushrod", 0.5);
    const Expected expected = expect(measured, standing(m), after);
    const auto at_rest = [&m](const Car& car) { return rest(rest_model(car), *m.readings.pad_height_mm).values; };
    const RestValues<double> was = at_rest(standing(m)), is = at_rest(after);
    double sum_kg = 0.0;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const CarValue weight = car_value(expected, std::string(corner_names[c]) + ".weight");
        CHECK_NEAR(weight.now, *m.readings.corners[c].scale_kg, 1e-9);
        CHECK_NEAR(change(weight), is.loads[c][index(CornerLoad::weight)] - was.loads[c][index(CornerLoad::weight)],
                   1e-9);
        sum_kg += change(weight);
    }
    CHECK_NEAR(sum_kg, 0.0, 1e-9);
    CHECK(change(car_value(expected, "rear_right.weight")) > 1.0);
    CHECK(change(car_value(expected, "front_left.weight")) > 1.0);
    CHECK(change(car_value(expected, "ride_height.rear_right")) > 0.5);
    CHECK_NEAR(change(car_value(expected, "rake")), is.at(CarOutput::rake) - was.at(CarOutput::rake), 1e-9);
    CHECK_NEAR(change(car_value(expected, "cross_weight")),
               is.at(CarOutput::cross_weight) - was.at(CarOutput::cross_weight), 1e-9);
    const auto i = static_cast<Eigen::Index>(*measured.find("rear_right.weight"));
    CHECK_NEAR(car_value(expected, "rear_right.weight").deviation, std::sqrt(2.0 * measured.repeat_covariance(i, i)),
               1e-12);
    CHECK(said(expected.notes, "taken as rigid"));
    CHECK(std::fabs(at(expected, CornerId::rear_right).change(Output::camber)) > 1e-3);  // the wheel moves in the car
}

TEST_CASE("bars, ballast and struts of a prediction are those of the readings") {
    const Morning m = wren_morning();
    Measured measured = m.measured();
    Car after = standing(m);
    turn(after, CornerId::front_left, "pushrod", 0.5);
    const double off = change(car_value(expect(measured, standing(m), after), "cross_weight"));
    measured.bars = BarsWere::on;
    const double on = change(car_value(expect(measured, standing(m), after), "cross_weight"));
    CHECK(std::fabs(on) > 1.01 * std::fabs(off));  // bars resist a warp: the same turn loads the diagonal more
    measured.bars = BarsWere::off;
    measured.ballast_kg["driver"] = 20.0;
    const double lighter = change(car_value(expect(measured, standing(m), after), "cross_weight"));
    CHECK(std::fabs(lighter - off) > 1e-4);

    measured.struts_solid = true;
    const Expected solid = expect(measured, standing(m), after);
    CHECK(solid.held == CarHeld::spring);
    CHECK(said(solid.notes, "solid struts"));
    for (const CarValue& value : solid.car_values) CHECK(info(value.id).unit != "kg");
    CHECK(change(car_value(solid, "ride_height.front_left")) > 0.5);
}

TEST_CASE("where the model does not stand the contacts are held, and it is said why") {
    Morning m = wren_morning();
    for (Corner& corner : m.car.corners) corner.damper.reset();
    m.car[CornerId::front_left].spring.load_at_drawn_N = -4000.0;
    const Measured measured = m.measured();
    Car after = standing(m);
    turn(after, CornerId::rear_left, "toe link", 0.25);
    const Expected expected = expect(measured, standing(m), after);
    CHECK(expected.held == CarHeld::contact);
    CHECK(expected.car_values.empty());
    CHECK(said(expected.notes, "cannot be worked out", "front_left", "would have to pull"));
    const auto alone = [&](const Car& car) { return outputs_on(measured.ground, car[CornerId::rear_left]); };
    CHECK_NEAR(at(expected, CornerId::rear_left).change(Output::toe),
               alone(after)[index(Output::toe)] - alone(standing(m))[index(Output::toe)], 1e-12);
}

TEST_CASE("what was not read is not expected: a free rack leaves the front's total toe") {
    Morning m = wren_morning();
    m.readings.rack_locked = false;
    m.read(CornerId::rear_left).camber_deg.reset();
    const Measured measured = m.measured();
    Car after = standing(m);
    turn(after, CornerId::front_left, "track rod", 0.5);
    const Expected expected = expect(measured, standing(m), after);
    const ExpectedCorner& front = at(expected, CornerId::front_left);
    CHECK_FALSE(front.then.toe_deg);
    CHECK_FALSE(front.then.flag_difference_mm);
    CHECK(front.then.gauge_deg);
    CHECK_FALSE(at(expected, CornerId::rear_left).then.gauge_deg);
    CHECK(expected.totals[0].id.is(CarOutput::total_toe_front));
    CHECK_NEAR(expected.totals[0].then_deg - expected.totals[0].now_deg,
               front.change(Output::toe) + at(expected, CornerId::front_right).change(Output::toe), 1e-12);
    CHECK(std::fabs(front.change(Output::toe)) > 0.1);
    CHECK(said(expected.notes, "rack is not said to be locked"));
}

TEST_CASE("lengths and shims of the readings are where a prediction starts") {
    Morning m = wren_morning();
    m.read(CornerId::front_left).shims_mm["camber shim"] = {2.0};
    const Measured measured = m.measured();
    CHECK_THROWS_AS(expect(measured, m.car, m.car), std::invalid_argument);  // the file says 3.0 mm
    Car after = standing(m);
    refill(after, CornerId::front_left, "camber shim", {2.0, 0.5});
    const Expected expected = expect(measured, standing(m), after);
    CHECK(at(expected, CornerId::front_left).turned[0].words == "add 0.5 mm: pack 2.0 + 0.5 mm");
    Car other = standing(m);
    other[CornerId::front_left].adjusters.pop_back();
    CHECK_THROWS_AS(expect(measured, standing(m), other), std::invalid_argument);
}

TEST_CASE("settings on which the car cannot stand are refused with the corner") {
    const Morning m = wren_morning();
    const Measured measured = m.measured();
    Car after = standing(m);
    turn(after, CornerId::front_right, "track rod", 200.0);
    CHECK_THROWS_AS(expect(measured, standing(m), after), OutOfReach);
}
