#include "shimwise/workshop/choose/explained.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/rest/solid.hpp"
#include "workshop/measure/by_model.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr auto fl = CornerId::front_left, rr = CornerId::rear_right;

/// Both sheets read the same; the new one says that much else of the car.
struct Two {
    Morning was = wren_morning(), is = wren_morning();

    Explained explained() const { return explain(was.measured(), was.car, is.measured(), is.car); }
};

std::size_t place(const Explained& e, const ValueId& id) {
    return static_cast<std::size_t>(std::ranges::find(e.differences.values, id, &Difference::id) -
                                    e.differences.values.begin());
}

double by(const Explained& e, std::size_t cause, const ValueId& id) {
    return e.causes.at(cause).by(static_cast<Eigen::Index>(place(e, id)));
}

const ValueId total = CarOutput::total_weight;

}  // namespace

TEST_CASE("ballast by name, bars, pads and turns are causes one after the other, and what is left is the rest") {
    Two two;
    two.is.readings.ballast_kg["driver"] = 0.0;
    two.is.readings.ballast_kg["fuel"] = 2.0;
    two.was.car.bars[0]->connected = two.is.car.bars[0]->connected = true;
    two.was.readings.bars.reset();
    two.is.readings.pad_height_mm = {2.0, 0.1, -0.1, 0.0};
    two.is.thread(fl, "track rod").now_turns += 0.25;
    const Explained e = two.explained();
    REQUIRE(e.causes.size() == 5);
    CHECK(e.causes[0].words == "driver 75.0 -> 0.0 kg");
    CHECK(e.causes[1].name == "fuel");
    CHECK(e.causes[2].words == "bars off");
    CHECK(e.causes[3].kind == Cause::Kind::pads);
    CHECK(e.causes[4].words == "1 adjuster turned");
    REQUIRE(e.turned.size() == 1);
    CHECK(e.turned[0].key == "front_left.track rod");
    CHECK_NEAR(by(e, 0, total), -75.0, 1e-9);
    CHECK_NEAR(by(e, 1, total), -10.0, 1e-9);
    CHECK_NEAR(by(e, 3, total), 0.0, 1e-9);
    for (std::size_t i = 0; i < e.left.size(); ++i) {
        double sum = e.left[i].by;
        for (const Cause& cause : e.causes) sum += cause.by(static_cast<Eigen::Index>(i));
        CHECK_NEAR(sum, e.differences.values[i].by, 1e-12);
    }
    CHECK(e.left[place(e, total)].unexplained);
    CHECK(e.p < 1e-6);
}

TEST_CASE("all causes together are the model after less the model before, and turns are those of the whole car") {
    Two two;
    two.is.thread(rr, "pushrod").now_turns -= 0.5;
    const Explained e = two.explained();
    const WholeCarChange whole = whole_car_change(two.was.measured(), two.was.car, two.is.car);
    REQUIRE(e.causes.size() == 1);
    for (const CarValue& value : whole.values) CHECK_NEAR(by(e, 0, value.id), value.then - value.now, 1e-9);
    for (std::size_t c = 0; c < corner_count; ++c)
        CHECK_NEAR(by(e, 0, {static_cast<CornerId>(c), Output::camber}), whole.change[c][index(Output::camber)], 1e-9);
    const ValueId difference = CarOutput::camber_difference_rear;
    CHECK_NEAR(by(e, 0, difference), whole.change[2][index(Output::camber)] - whole.change[3][index(Output::camber)],
               1e-9);
    CHECK(std::abs(by(e, 0, difference)) > 1e-3);
    CHECK(e.left[place(e, difference)].by_model);
}

TEST_CASE("what is left is less sure by what a hand misses, by the pads and by the model's share") {
    Two two;
    const ValueId toe(fl, Output::toe);
    const auto left_u = [&] {
        const Explained e = two.explained();
        return e.left[place(e, toe)].u;
    };
    const double before = left_u();
    two.is.thread(fl, "track rod").now_turns += 1.0;
    two.was.thread(fl, "track rod").settable_turns = 0.0;
    const Explained e = two.explained();
    CHECK_NEAR(e.left[place(e, toe)].u, std::hypot(before, usual_model_share * by(e, 0, toe)), 1e-7);
    two.was.thread(fl, "track rod").settable_turns = 0.05;
    CHECK(left_u() > 1.05 * e.left[place(e, toe)].u);

    Two pads;
    const ValueId weight(fl, CornerLoad::weight);
    const Explained same = pads.explained();  // the pads were read once: their error is in both sheets
    pads.is.readings.at = "2026-05-09";
    const Explained other = pads.explained();
    CHECK(other.left[place(other, weight)].u > 1.05 * same.left[place(same, weight)].u);
    CHECK_NEAR(other.differences.values[place(other, weight)].u, same.differences.values[place(same, weight)].u, 1e-12);
}

TEST_CASE("toe is judged by its tolerance at the flags") {
    const Explained e = Two().explained();
    const Difference& toe = e.differences.values[place(e, {fl, Output::toe})];
    REQUIRE(toe.tolerance.has_value());
    CHECK_NEAR(*toe.tolerance, std::asin(0.5 / 520.0) * 180.0 / 3.14159265358979, 1e-9);
    CHECK(toe.within == true);
}

TEST_CASE("solid struts of one sheet are a cause, and a car that cannot stand explains turns at held contacts") {
    Two two;
    two.is.readings.struts_solid = true;
    const Explained e = two.explained();
    REQUIRE(e.causes.size() == 1);
    CHECK(e.causes[0].words == "springs -> solid struts");
    CHECK_FALSE(e.left[place(e, {fl, CornerLoad::weight})].by_model);
    CHECK(e.left[place(e, {fl, Output::camber})].by_model);

    Two bare;
    for (Morning* m : {&bare.was, &bare.is}) {
        for (Corner& corner : m->car.corners) corner.damper.reset();
        m->car[fl].spring.load_at_drawn_N = -4000.0;
    }
    bare.is.thread(fl, "track rod").now_turns += 0.5;
    bare.is.thread(fl, "upper rear leg").now_turns += 0.5;
    const Explained held = bare.explained();
    CHECK(held.held == CarHeld::contact);
    CHECK(std::abs(by(held, 0, {fl, Output::toe})) > 0.1);
    CHECK_NEAR(by(held, 0, CarOutput::total_toe_front), by(held, 0, {fl, Output::toe}), 1e-12);
    CHECK_NEAR(by(held, 0, CarOutput::camber_difference_front), by(held, 0, {fl, Output::camber}), 1e-12);
    CHECK(std::abs(by(held, 0, {fl, Output::camber})) > 0.01);
    CHECK_FALSE(held.left[place(held, total)].by_model);
    CHECK(said(held.notes, "Contacts are held instead"));
}

TEST_CASE("what nobody said and alone explains what is left is guessed, with its amount") {
    Two two;
    two.is.readings.ballast_kg["driver"] = 45.0;  // said, and not done: all else reads the same
    const Explained e = two.explained();
    REQUIRE(e.p < 1e-6);
    REQUIRE_FALSE(e.guesses.empty());
    CHECK(e.guesses[0].key == "ballast.driver");
    CHECK(e.guesses[0].words.starts_with("driver: 30."));
    CHECK_NEAR(e.guesses[0].amount, 30.0, 1.0);
    CHECK(e.guesses[0].p > 0.001);
    CHECK(e.guesses[0].u > 0.0);
    CHECK(Two().explained().guesses.empty());
}

TEST_CASE("an adjuster that was turned and not said is guessed by its turns") {
    Two two;
    two.is.thread(fl, "track rod").now_turns += 0.25;  // said, and not done
    const Explained e = two.explained();
    REQUIRE_FALSE(e.guesses.empty());
    CHECK(e.guesses[0].key == "front_left.track rod");
    CHECK(e.guesses[0].words == "front left track rod: 1 1/2 flats shorter (0.25 turn) than said");
}
