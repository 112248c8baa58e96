// Springs that rest as drawn, and scale readings: the loads and the centre of gravity that a car file leaves to rest.
#include <Eigen/QR>
#include <cmath>
#include <variant>

#include "catch.hpp"
#include "rest/places.hpp"
#include "shimwise/error.hpp"

using namespace shimwise;

namespace {

double weight_kg(const RestState& s, std::size_t c) { return s.values.loads[c][index(CornerLoad::weight)]; }

/// Cars drawn with rake on level ground whose springs rest as drawn; sides alike, weights not. (Loads that twist the
/// chassis, and contacts in one plane without a twist, exclude each other: there the weights are alike, too.)
std::vector<Car> resting_cars() {
    std::vector<Car> all;
    for (cars::Kind kind : cars::kinds()) {
        kind.springs = cars::SpringsBy::resting;
        kind.mirror = true;
        kind.set = kind.stop = false;
        Car car = cars::car(kind);
        car.corners[3].spring.rate_N_per_mm = 90.0;
        if (kind.twists) {
            car.ballast.clear();
        } else {
            car.mass.cg_mm = Vec3<double>{0.52 * cars::rear_x_mm, 27.0, 240.0};
            car.corners[0].unsprung_kg += 1.5;
        }
        all.push_back(car);
    }
    return all;
}

/// Heights of the contacts as drawn over their own best plane, the car turned so that this plane is level.
PadHeights drawn_contacts_mm(const RestModel& m) {
    places::Chassis chassis;
    Eigen::Vector4d over;
    for (int i = 0; i < 30; ++i) {
        Eigen::Matrix<double, 4, 3> flat;
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Eigen::Matrix3d turned = chassis.turn(0.0);
            const Vec3<double>& centre = m.car.corners[c].at(Point::wheel_centre);
            const Eigen::Vector3d at =
                turned * places::lowest(m.setups[c].geometry, places::vec(centre),
                                        places::vec(m.car.corners[c].wheel_axis), turned.transpose().col(2));
            const auto row = static_cast<Eigen::Index>(c);
            flat.row(row) << 1.0, at.x(), at.y();
            over(row) = at.z();
        }
        const Eigen::Vector3d plane = flat.colPivHouseholderQr().solve(over);
        over -= flat * plane;
        chassis.pose.pitch_rad += std::atan(plane(1));
        chassis.pose.roll_rad -= std::atan(plane(2));
    }
    return {over(0), over(1), over(2), over(3)};
}

}  // namespace

TEST_CASE("a car whose springs rest as drawn stands as drawn on level pads") {
    for (const Car& car : resting_cars()) {
        INFO(car.name);
        const RestModel m = rest_model(car);
        const RestState s = rest(m);
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK_NEAR(s.corners[c].half_tan, 0.0, 1e-11);
            CHECK_NEAR(s.values.corners[c][index(Output::spring_length)], drawn_strut_mm(car.corners[c]), 1e-9);
            CHECK(s.corners[c].load.spring_N > 100.0);
            CHECK_NEAR(*m.car.corners[c].spring.load_at_drawn_N, s.corners[c].load.spring_N, 1e-7);
            CHECK_NEAR(places::of(m, s).contacts[c].at.z(), 0.0, 1e-9);
        }
        CHECK_NEAR(s.values.at(CarOutput::cross_weight), 50.0, 1e-9);
        if (!m.twists()) CHECK(s.values.at(CarOutput::left_share) > 51.0);
        CHECK_NEAR(s.values.at(CarOutput::front_bar_torque), 0.0, 1e-9);
        CHECK_NEAR(s.values.at(CarOutput::rear_bar_torque), 0.0, 1e-9);
        CHECK(s.values.at(CarOutput::pitch) < -0.1);  // drawn with rake
        CHECK_NEAR(s.values.at(CarOutput::twist), 0.0, 1e-9);
    }
}

TEST_CASE("loads as drawn do not depend on how the car is set now") {
    for (Car car : resting_cars()) {
        INFO(car.name);
        const RestModel drawn = rest_model(car);
        for (Corner& corner : car.corners)
            for (Adjuster& a : corner.adjusters)
                if (auto* thread = std::get_if<Thread>(&a.setting)) thread->now_turns = 0.6;
        const RestModel set = rest_model(car);
        CHECK(set.setups[0].amounts_mm != drawn.setups[0].amounts_mm);
        for (std::size_t c = 0; c < corner_count; ++c)
            CHECK_NEAR(*set.car.corners[c].spring.load_at_drawn_N, *drawn.car.corners[c].spring.load_at_drawn_N, 1e-9);
    }
}

TEST_CASE("where the drawn contacts are not in one plane, the car stands as drawn on pads that follow them") {
    cars::Kind kind = cars::kinds()[1];
    REQUIRE(kind.springs == cars::SpringsBy::resting);
    kind.set = false;
    const RestModel m = rest_model(cars::car(kind));
    const PadHeights pads = drawn_contacts_mm(m);
    CHECK(std::fabs(pads[0]) > 0.05);
    const RestState s = rest(m, pads);
    for (const RestCorner& corner : s.corners) CHECK_NEAR(corner.half_tan, 0.0, 1e-11);
    CHECK_NEAR(s.values.at(CarOutput::cross_weight), 50.0, 1e-9);
    CHECK_NEAR(s.values.at(CarOutput::front_bar_torque), 0.0, 1e-9);
}

TEST_CASE("scale readings: springs that rest as drawn put them on the scales as the car is set now") {
    const std::array<double, corner_count> read_kg = {171.0, 160.0, 189.0, 203.0};  // 723 of 720 kg: scales differ
    std::vector<Car> cars = resting_cars();
    cars.push_back(cars.back());  // a chassis so soft that the diagonal hardly answers
    cars.back().chassis_twist_Nm_per_deg = 250.0;
    cars.push_back(cars.front());  // springs so stiff that a load is known to no more than 1e-9
    for (Corner& corner : cars.back().corners) corner.spring.rate_N_per_mm = 2e4;
    for (Car car : cars) {
        INFO(car.name << ", twist " << car.chassis_twist_Nm_per_deg.value_or(0.0));
        corners::Random random("now", 0);
        for (Corner& corner : car.corners)
            for (Adjuster& a : corner.adjusters)
                if (auto* thread = std::get_if<Thread>(&a.setting))
                    thread->now_turns = random.within(car.corners[0].spring.rate_N_per_mm > 1e3 ? 0.002 : 0.3);
        car.mass.cg_mm.reset();
        car.mass.weighing = weighed(car, read_kg);
        car.mass.cg_height_mm = 255.0;
        const RestModel m = rest_model(car);
        const RestState s = rest(m);
        for (std::size_t c = 0; c < corner_count; ++c) CHECK_NEAR(weight_kg(s, c), read_kg[c] * 720.0 / 723.0, 1e-7);
        CHECK(m.car.mass.cg_mm->z == 255.0);
        CHECK(std::fabs(s.corners[0].half_tan) > 1e-7);
    }
}

TEST_CASE("scale readings: springs with their own loads get the centre of gravity from the readings' moments") {
    const std::array<double, corner_count> read_kg = {171.0, 160.0, 189.0, 203.0};
    cars::each([&](const cars::Kind& kind, const RestModel&, const PadHeights&) {
        if (kind.springs == cars::SpringsBy::resting || kind.stop) return;
        Car car = cars::car(kind);
        car.mass.cg_mm.reset();
        car.mass.weighing = weighed(car, read_kg);
        car.mass.cg_height_mm = 255.0;
        const RestModel m = rest_model(car);
        const RestState s = rest(m);
        Eigen::Vector2d read = Eigen::Vector2d::Zero(), weighed = Eigen::Vector2d::Zero();
        const places::Places p = places::of(m, s);
        for (std::size_t c = 0; c < corner_count; ++c)
            read += p.contacts[c].at.head<2>() * (read_kg[c] * gravity_m_per_s2 * 720.0 / 723.0);
        for (const places::Pressed& w : p.weights) weighed += w.at.head<2>() * w.down_N;
        CHECK((read - weighed).norm() <= 1e-9 * 720.0 * gravity_m_per_s2 * 1000.0);
        CHECK_NEAR(s.values.at(CarOutput::front_share), 100.0 * 331.0 / 723.0, 0.05);
    });
}

TEST_CASE("what is turned after the car was weighed moves its weights and not its masses") {
    const std::array<double, corner_count> read_kg = {171.0, 160.0, 189.0, 203.0};
    for (Car car : resting_cars()) {
        INFO(car.name);
        car.mass.cg_mm.reset();
        car.mass.weighing = weighed(car, read_kg);
        car.mass.cg_height_mm = 255.0;
        const RestModel before = rest_model(car);
        for (Adjuster& a : car[CornerId::front_left].adjusters)
            if (auto* thread = std::get_if<Thread>(&a.setting)) thread->now_turns += 0.4;
        for (auto& bar : car.bars)
            if (bar) bar->connected = !bar->connected;
        const RestModel after = rest_model(car);
        CHECK(after.car.mass.cg_mm->x == before.car.mass.cg_mm->x);
        CHECK(after.car.mass.cg_mm->y == before.car.mass.cg_mm->y);
        for (std::size_t c = 0; c < corner_count; ++c)
            CHECK(*after.car.corners[c].spring.load_at_drawn_N == *before.car.corners[c].spring.load_at_drawn_N);
        const RestState state = rest(after);
        CHECK(std::fabs(weight_kg(state, 0) - read_kg[0] * 720.0 / 723.0) > 0.1);
        // back as it was weighed, it stands on its scales as before
        CHECK_NEAR(weight_kg(rest(before), 0), read_kg[0] * 720.0 / 723.0, 1e-7);
    }
}

TEST_CASE("as drawn a spring may not have to pull") {
    Car car = resting_cars()[1];
    car.mass.cg_mm = Vec3<double>{-2900.0, 0.0, 250.0};
    CHECK_THROWS_AS(rest_model(car), OutOfReach);
    try {
        rest_model(car);
    } catch (const OutOfReach& refusal) {
        const std::string why = refusal.what();
        INFO(why);
        CHECK(why.starts_with("front_left: to stand as drawn (spring.rests_as_drawn) the spring would have to pull "));
        CHECK(why.ends_with(" N"));
    }
}
