// What a car at rest cannot have is refused, and the sentence names it and the amount.
#include <cmath>
#include <regex>

#include "catch.hpp"
#include "rest/cars.hpp"
#include "shimwise/error.hpp"
#include "shimwise/rest/solid.hpp"
#include "shimwise/workshop/choose/effect_table.hpp"

using namespace shimwise;

namespace {

const cars::Kind plain = {.name = "refused",
                          .front = {Body::lower_wishbone, true, true},
                          .rear = {Body::lower_wishbone, true, false},
                          .set = false};

/// The sentence with which this is refused.
template <class Error = OutOfReach, class Work>
std::string refusal(const Work& work) {
    try {
        work();
    } catch (const Error& failure) {
        return failure.what();
    }
    return "not refused";
}

bool matches(const std::string& sentence, const std::string& pattern) {
    return std::regex_match(sentence, std::regex(pattern));
}

/// The n-th number of a sentence.
double number(const std::string& sentence, int n) {
    const std::regex digits("-?[0-9]+\\.[0-9]+");
    auto at = std::sregex_iterator(sentence.begin(), sentence.end(), digits);
    for (int i = 0; i < n; ++i) ++at;
    return std::stod(at->str());
}

}  // namespace

TEST_CASE("a wheel off its pad is refused with what would have to hold it down") {
    Car car = cars::car(plain);
    car.mass.cg_mm = Vec3<double>{-1600.0, -60.0, 250.0};  // away from the low pad, so that nothing comes down on it
    car.corners[0].damper->longest_mm = drawn_strut_mm(car.corners[0]) + 0.5;
    RestModel m = rest_model(car);
    const std::string why = refusal([&] { rest(m, {-30.0, 0.0, 0.0, 0.0}); });
    INFO(why);
    CHECK(matches(why,
                  "front_left: the wheel is off its pad: it would have to be held down with [0-9.]+ N "
                  "\\([0-9.]+ kg\\)"));
    CHECK_NEAR(number(why, 0) / gravity_m_per_s2, number(why, 1), 0.011);
    // So much more weight over the contact, and the wheel stands.
    m.car.corners[0].unsprung_kg += 40.0;
    const double left_kg = rest(m, {-30.0, 0.0, 0.0, 0.0}).values.at(CornerId::front_left, CornerLoad::weight);
    CHECK_NEAR(left_kg, 40.0 - number(why, 1), 0.5);
}

TEST_CASE("a pad farther off than any floor is refused wherever a car stands on pads") {
    const RestModel m = rest_model(cars::car(plain));
    const StrutLengths struts_mm = drawn_struts_mm(m.car);
    const auto said = [&](const PadHeights& pads_mm, const std::string& sentence) {
        CHECK(refusal<InputError>([&] { check_pads(pads_mm); }) == sentence);
        CHECK(refusal<InputError>([&] { rest(m, pads_mm); }) == sentence);
        CHECK(refusal<InputError>([&] { rest_table(m, pads_mm); }) == sentence);
        CHECK(refusal<InputError>([&] { on_solid_struts(m, pads_mm, struts_mm); }) == sentence);
        CHECK(refusal<InputError>([&] { solid_table(m, pads_mm, struts_mm); }) == sentence);
    };
    said({0.0, 0.0, -1000.5, 0.0}, "pads_mm: rear_left = -1000.5: goes beyond 1000 mm");
    said({1e5, 0.0, 0.0, 0.0}, "pads_mm: front_left = 100000: goes beyond 1000 mm");
    said({0.0, std::nan(""), 0.0, 0.0}, "pads_mm: front_right = nan: goes beyond 1000 mm");
    // A floor as far off as may be is a level floor like any other.
    const RestState low = rest(m, {-1000.0, -1000.0, -1000.0, -1000.0}), here = rest(m);
    CHECK_NEAR(low.values.at(CarOutput::height), here.values.at(CarOutput::height), 1e-9);
}

TEST_CASE("a spring that would have to pull where no damper stops it is refused with its pull") {
    Car car = cars::car(plain);
    car.mass.cg_mm = Vec3<double>{-1000.0, 60.0, 250.0};
    RestModel m = rest_model(car);
    m.car.corners[3].damper.reset();
    const PadHeights pads = {0.0, 0.0, 0.0, -40.0};
    const std::string why = refusal([&] { rest(m, pads); });
    INFO(why);
    CHECK(matches(why,
                  "rear_right: the spring would have to pull with [0-9.]+ N \\([0-9.]+ kg\\); the file has no droop "
                  "stop there \\(damper.longest_mm\\)"));
    CHECK_NEAR(number(why, 0) / gravity_m_per_s2, number(why, 1), 0.011);
    // Where a damper could stop it, it is loose instead.
    m.car.corners[3].damper = Damper{.shortest_mm = 0.0, .longest_mm = 1e6};
    const RestState loose = rest(m, pads);
    CHECK(loose.corners[3].load.spring_N == 0.0);
}

TEST_CASE("a damper past its shortest is refused with the millimetres") {
    RestModel m = rest_model(cars::car(plain));
    const RestState s = rest(m);
    m.car.corners[2].damper->shortest_mm = s.values.at(CornerId::rear_left, Output::spring_length) + 1.25;
    CHECK(refusal([&] { rest(m); }) == "rear_left: the damper is 1.250 mm past its shortest (damper.shortest_mm)");
}

TEST_CASE("a pad so high that a damper cannot give way is refused with the force that it would take") {
    cars::Kind direct = plain;
    direct.front.rocker = direct.rear.rocker = false;
    for (const cars::Kind& kind : {plain, direct}) {
        const std::string why = refusal([&] { rest(rest_model(cars::car(kind)), {150.0, 0.0, 0.0, 150.0}); });
        INFO(why);
        CHECK(
            matches(why,
                    "(front_left|rear_right): the damper would be past its shortest \\(damper.shortest_mm\\): there it "
                    "would have to push with [0-9.]+ N \\([0-9.]+ kg\\)"));
    }
}

TEST_CASE("springs that do not carry the car before its linkage ends are refused with what is then on the wheel") {
    Car car = cars::car(plain);
    for (Corner& corner : car.corners) {
        corner.damper.reset();
        corner.spring.rate_N_per_mm = 0.1;
        corner.spring.load_at_drawn_N = 10.0;
    }
    const std::string why = refusal([&] { rest(rest_model(car)); });
    INFO(why);
    CHECK(
        matches(why,
                "front_left: the wheel is at the end of its travel with [0-9.]+ N \\([0-9.]+ kg\\) on it: beyond that "
                "the pushrod does not reach the rocker"));
    CHECK(number(why, 1) < 360.0);
}

TEST_CASE("a drop link that does not close is refused with the millimetres") {
    RestModel m = rest_model(cars::car(plain));
    const std::size_t link = *m.car.corners[1].find("drop link");
    for (const double by_mm : {120.0, -71.0}) {
        m.setups[1].amounts_mm[link] = by_mm;
        const std::string why = refusal([&] { rest(m); });
        INFO(why);
        CHECK(
            matches(why, std::string("front_right: the drop link does not reach the bar's arm: it is [0-9.]+ mm too ") +
                             (by_mm > 0.0 ? "long" : "short")));
        CHECK(number(why, 0) > 1.0);
        // By this much the other way it closes again.
        m.setups[1].amounts_mm[link] = by_mm - std::copysign(number(why, 0) + 1.0, by_mm);
        CHECK(refusal([&] { rest_energy(m, rest(rest_model(cars::car(plain))).pose); }) == "not refused");
    }
}

TEST_CASE("four closed stops are refused under a rigid chassis, and are a state under one that twists") {
    cars::Kind alike = plain;
    alike.mirror = true;  // three stops already bring the fourth damper to its own
    Car car = cars::car(alike);
    for (Corner& corner : car.corners) {
        *corner.spring.load_at_drawn_N *= 2.0;
        corner.damper->longest_mm = drawn_strut_mm(corner) + 0.3;
    }
    CHECK(refusal([&] { rest(rest_model(car)); }) ==
          "all four dampers would be on their droop stops: under a rigid chassis the loads are then not determined");
    car.chassis_twist_Nm_per_deg = 1500.0;
    const RestState s = rest(rest_model(car));
    for (const RestCorner& corner : s.corners) {
        CHECK(corner.on_droop_stop);
        CHECK(corner.stop_pull_N > 100.0);
    }
    for (const CarOutput o : {CarOutput::front_difference, CarOutput::rear_difference, CarOutput::twist})
        CHECK_NEAR(s.values.at(o), 0.0, 1e-9);
}

TEST_CASE("four closed stops are a state on tyres") {
    cars::Kind alike = plain;
    alike.mirror = true;
    Car car = cars::car(alike);
    car.ballast = {{.name = "load", .at_mm = {-1300.0, 0.0, 100.0}, .now_kg = 250.0}};
    for (Corner& corner : car.corners) {
        corner.damper->longest_mm = drawn_strut_mm(corner) + 0.3;
        corner.tyre = Tyre{.loaded_radius_mm = corner.wheel.radius_mm, .rate_N_per_mm = 200.0};
    }
    const RestState s = rest(with_ballast(on_tyres(rest_model(car)), {{"load", 0.0}}));
    for (const RestCorner& corner : s.corners) CHECK(corner.stop_pull_N > 100.0);
    CHECK_NEAR(s.values.at(CarOutput::front_difference), 0.0, 1e-9);
    CHECK_NEAR(s.values.at(CarOutput::rear_difference), 0.0, 1e-9);
    CHECK(refusal([&] { rest(with_ballast(rest_model(car), {{"load", 0.0}})); }).starts_with("all four dampers"));
}

TEST_CASE("three closed stops that hold the fourth corner off its own are a state") {
    for (std::size_t longer = 0; longer < corner_count; ++longer) {
        cars::Kind alike = plain;
        alike.mirror = true;
        Car car = cars::car(alike);
        for (Corner& corner : car.corners) {
            *corner.spring.load_at_drawn_N *= 2.0;
            corner.damper->longest_mm = drawn_strut_mm(corner) + 0.3;
        }
        car.corners[longer].damper->longest_mm += 0.4;
        INFO(corner_names[longer]);
        const RestState s = rest(rest_model(car));
        // Which of the two on the longer one's diagonal is off depends on the weights.
        const std::size_t off = s.corners[longer].on_droop_stop ? longer ^ 3 : longer;
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK(s.corners[c].on_droop_stop == (c != off));
            CHECK(s.corners[c].stop_pull_N >= 0.0);
        }
        CHECK_NEAR(*s.corners[off].to_droop_stop_mm, 0.4, 0.03);
    }
}

TEST_CASE("a car that would fall over is refused") {
    Car car = cars::car(plain);
    car.mass.cg_mm->z = 400000.0;
    CHECK(matches(refusal([&] { rest(rest_model(car)); }), "rear_right: the damper would be past its shortest .*"));
}

TEST_CASE("a car that balances on a saddle of its energy does not stand so") {
    cars::Kind alike = plain;
    alike.mirror = true;  // no side to fall to
    Car car = cars::car(alike);
    CHECK(refusal([&] { rest(rest_model(car)); }) == "not refused");
    car.mass.cg_mm->z = 400000.0;
    CHECK(refusal([&] { rest(rest_model(car)); }) != "not refused");
}

TEST_CASE("ballast that the car does not have, or less than none, is refused by name") {
    Car car = cars::car(plain);
    car.ballast = {{.name = "seat", .at_mm = {-1300.0, 0.0, 20.0}, .now_kg = 4.0}};
    const RestModel m = rest_model(car);
    CHECK(refusal<InputError>([&] { with_ballast(m, {{"seta", 2.0}}); }).find("seta: is no ballast of this car") !=
          std::string::npos);
    for (const double kg : {-0.5, std::nan("")})
        CHECK(refusal<InputError>([&] {
                  with_ballast(m, {{"seat", kg}});
              }).find("seat: is a ballast of 0 kg or more") != std::string::npos);
    CHECK_NEAR(with_ballast(m, {{"seat", 9.0}}).total_kg(), 725.0, 1e-9);
}

TEST_CASE("a car on tyres needs their rates") {
    RestModel m = rest_model(cars::car(plain));
    for (Corner& corner : m.car.corners) corner.tyre = Tyre{.loaded_radius_mm = 250.0, .rate_N_per_mm = 200.0};
    CHECK(refusal<InputError>([&] { on_tyres(m); }) == "not refused");
    m.car.corners[2].tyre->rate_N_per_mm.reset();
    CHECK(refusal<InputError>([&] {
              on_tyres(m);
          }).find("tyre.rear: needs loaded_radius_mm and rate_N_per_mm for a car on its tyres") != std::string::npos);
    m.car.corners[1].tyre.reset();
    CHECK(refusal<InputError>([&] { on_tyres(m); }).find("tyre.front: needs") != std::string::npos);
}
