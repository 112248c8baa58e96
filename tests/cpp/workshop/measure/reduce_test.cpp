#include "shimwise/workshop/measure/reduce.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "monte_carlo.hpp"
#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "size.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr double rad = 3.14159265358979323846 / 180.0;
const std::array<CornerId, 4> all_corners = {CornerId::front_left, CornerId::front_right, CornerId::rear_left,
                                             CornerId::rear_right};

/// A morning whose instruments are perfect: tests then give one of them an error.
Morning exact_morning() {
    Morning m = wren_morning();
    m.car.instruments = {};
    m.car.settling = {};
    m.car.strings.end_uncertainty_mm = 0.0;
    return m;
}

double u(const Measured& m, const std::string& key) { return m.uncertainty(key).value(); }

double covariance(const Eigen::MatrixXd& V, const Measured& m, const std::string& a, const std::string& b) {
    return V(static_cast<Eigen::Index>(m.find(a).value()), static_cast<Eigen::Index>(m.find(b).value()));
}

double correlation(const Measured& m, const std::string& a, const std::string& b) {
    return covariance(m.values.covariance, m, a, b) / (u(m, a) * u(m, b));
}

}  // namespace

TEST_CASE("toe is the flags' difference over their span, less the string's angle, + = toe-in on both sides") {
    Morning m = exact_morning();
    for (const CornerId id : all_corners) m.read(id).flags_mm = Flags{41.5, 40.5};
    Measured got = m.measured();
    const double straight = std::asin(1.0 / 520.0) / rad;
    CHECK_NEAR(straight, 0.1101843, 1e-7);
    for (const CornerId id : all_corners)
        CHECK_NEAR(*got.value(std::string(corner_names[index(id)]) + ".toe"), straight, 1e-12);
    CHECK_NEAR(*got.value("total_toe_front"), 2.0 * straight, 1e-12);
    CHECK_NEAR(*got.value("thrust_angle"), 0.0, 1e-12);

    // Left string 1 mm wider at the front than at the rear: its flags show that much toe too much.
    m.readings.front_bar_mm = {906.0, 905.0};
    m.readings.rear_bar_mm = {905.0, 905.0};
    got = m.measured();
    const double string = std::atan(1.0 / 3900.0) / rad;
    CHECK_NEAR(*got.value("front_left.toe"), straight - string, 1e-12);
    CHECK_NEAR(*got.value("rear_left.toe"), straight - string, 1e-12);
    CHECK_NEAR(*got.value("front_right.toe"), straight, 1e-12);
    CHECK_NEAR(got.string_angle_deg[index(CornerId::rear_left)], string, 1e-12);
    CHECK_NEAR(flag_difference_mm(straight - string, string, 520.0), 1.0, 1e-12);

    m.read(CornerId::rear_left).flags_mm = Flags{41.5, 40.5};
    m.read(CornerId::rear_right).flags_mm = Flags{40.5, 41.5};  // toe-out: both rear wheels point to the right
    CHECK(*m.measured().value("thrust_angle") > 0.0);
}

TEST_CASE("a flag one degree off level shows 0.4 mm at race camber, and does so anew at each reading") {
    Morning m = exact_morning();
    m.car.instruments.flag_ruler.level_uncertainty_deg = 1.0;
    for (const CornerId id : all_corners) {
        m.read(id).flags_mm = Flags{40.0, 40.0};
        m.read(id).camber_deg = Reversal{-2.6, 2.6};
    }
    const Measured got = m.measured();
    const double mm = 520.0 * std::sin(1.0 * rad) * std::sin(2.6 * rad);
    CHECK_NEAR(mm, 0.4117, 1e-4);
    CHECK_NEAR(520.0 * u(got, "front_left.toe") * rad, mm, 1e-4 * mm);
    CHECK_NEAR(correlation(got, "front_left.toe", "rear_left.toe"), 0.0, 1e-9);
    CHECK_NEAR(covariance(got.repeat_covariance, got, "front_left.toe", "front_left.toe"),
               covariance(got.values.covariance, got, "front_left.toe", "front_left.toe"), 1e-15);
}

TEST_CASE("camber read both ways round is half the difference, and knows nothing of the gauge's zero") {
    Morning m = exact_morning();
    m.readings.gauge_check_deg.reset();
    m.readings.pad_height_mm.reset();
    m.car.instruments.camber_gauge.zero_error_deg = 0.3;
    m.car.instruments.camber_gauge.zero_uncertainty_deg = 0.1;
    for (const CornerId id : all_corners) m.read(id).flags_mm = Flags{40.0, 40.0};
    m.read(CornerId::front_left).camber_deg = Reversal{-2.7, 2.8};
    m.read(CornerId::front_right).camber_deg = Reversal{-2.7, {}};
    const Measured got = m.measured();
    CHECK_NEAR(*got.value("front_left.camber"), -2.75, 1e-9);  // toe 0: camber is inclination
    CHECK_NEAR(u(got, "front_left.camber"), 0.0, 1e-9);
    CHECK_NEAR(got.gauge_zero_deg[index(CornerId::front_left)], 0.05, 1e-12);
    CHECK_NEAR(*got.value("front_right.camber"), -3.0, 1e-9);  // the file's zero error taken off
    CHECK_NEAR(u(got, "front_right.camber"), 0.1, 1e-9);
    CHECK(said(got.notes, "pads were not read"));
}

TEST_CASE("this morning's check replaces the file's zero, is shared by all wheels, and cancels when read again") {
    Morning m = exact_morning();
    m.readings.pad_height_mm.reset();
    m.car.instruments.camber_gauge = {.resolution_deg = 0.0,
                                      .repeatability_deg = 0.01,
                                      .zero_error_deg = 5.0,
                                      .zero_uncertainty_deg = 5.0,
                                      .checked = "",
                                      .valid_days = {}};
    m.readings.gauge_check_deg = Reversal{0.10, 0.00};
    for (const CornerId id : all_corners) {
        m.read(id).flags_mm = Flags{40.0, 40.0};
        m.read(id).camber_deg = Reversal{-2.7, {}};
    }
    const Measured got = m.measured();
    CHECK_NEAR(*got.value("rear_right.camber"), -2.75, 1e-9);
    const double zero_u = 0.01 / std::sqrt(2.0);  // half the sum of two readings
    CHECK_NEAR(u(got, "rear_right.camber"), std::hypot(0.01, zero_u), 1e-9);
    CHECK_NEAR(correlation(got, "front_left.camber", "rear_right.camber"), 1.0 / 3.0, 1e-6);
    CHECK_NEAR(covariance(got.repeat_covariance, got, "front_left.camber", "front_left.camber"), 1e-4, 1e-10);
    CHECK_NEAR(covariance(got.repeat_covariance, got, "front_left.camber", "rear_right.camber"), 0.0, 1e-15);
}

TEST_CASE(
    "a difference of camber follows from both wheels, where both were read, and knows nothing of the gauge's zero") {
    Morning m = exact_morning();
    m.readings.pad_height_mm.reset();
    m.car.instruments.camber_gauge = {.resolution_deg = 0.0,
                                      .repeatability_deg = 0.01,
                                      .zero_error_deg = 0.2,
                                      .zero_uncertainty_deg = 0.5,
                                      .checked = "",
                                      .valid_days = {}};
    m.readings.gauge_check_deg.reset();
    for (const CornerId id : all_corners) {
        m.read(id).flags_mm = Flags{40.0, 40.0};
        m.read(id).camber_deg = Reversal{id == CornerId::front_left ? -2.5 : -2.7, {}};
    }
    const Measured got = m.measured();
    CHECK_NEAR(*got.value("camber_difference_front"), 0.2, 1e-9);
    CHECK_NEAR(*got.value("camber_difference_rear"), 0.0, 1e-9);
    CHECK(got.quantities[*got.find("camber_difference_front")].derived);
    CHECK(u(got, "front_left.camber") > 0.5);
    CHECK_NEAR(u(got, "camber_difference_front"), std::hypot(0.01, 0.01), 1e-6);
    CHECK_NEAR(covariance(got.repeat_covariance, got, "camber_difference_front", "camber_difference_front"), 2e-4,
               1e-8);
    CHECK_NEAR(covariance(got.values.covariance, got, "camber_difference_front", "camber_difference_rear"), 0.0, 1e-8);
    CHECK_FALSE(got.value("caster_difference_front"));

    m.read(CornerId::rear_right).camber_deg.reset();
    CHECK(m.measured().value("camber_difference_front"));
    CHECK_FALSE(m.measured().value("camber_difference_rear"));
}

TEST_CASE("a string's ends are shared by the two wheels beside it, and cancel when read again") {
    Morning m = exact_morning();
    m.car.strings.end_uncertainty_mm = 0.3;
    const Measured got = m.measured();
    CHECK_NEAR(u(got, "front_left.toe"), std::atan(0.3 * std::sqrt(2.0) / 3900.0) / rad, 1e-6);
    CHECK_NEAR(correlation(got, "front_left.toe", "rear_left.toe"), 1.0, 1e-9);
    CHECK_NEAR(covariance(got.values.covariance, got, "front_left.toe", "front_right.toe"), 0.0, 1e-15);
    CHECK_NEAR(covariance(got.repeat_covariance, got, "front_left.toe", "front_left.toe"), 0.0, 1e-15);
}

TEST_CASE("the gauge shows inclination to plumb: on a leaning plane one side shows less, the other more") {
    // Pads 1 mm a metre higher on the left: the car leans to the right.
    const Vec3<double> plumb = {0.0, 0.001, std::sqrt(1.0 - 1e-6)};
    const double lean = std::asin(0.001) / rad;
    CHECK_NEAR(inclination_from_camber(0.0, 0.0, plumb, CornerId::front_left), -lean, 1e-12);
    CHECK_NEAR(inclination_from_camber(0.0, 0.0, plumb, CornerId::front_right), lean, 1e-12);

    // ISO 8855 axis of the left wheel from its two projected angles, dotted with plumb by hand.
    const double toe = 0.3, camber = -2.6;
    const Vec3<double> axis = {std::tan(toe * rad), 1.0, -std::tan(camber * rad)};
    const Vec3<double> up = {0.002, -0.003, std::sqrt(1.0 - 13e-6)};
    const double inclination = std::asin(-dot(axis, up) / std::sqrt(squared(axis))) / rad;
    CHECK_NEAR(inclination_from_camber(camber, toe, up, CornerId::rear_left), inclination, 1e-12);
    for (const CornerId id : all_corners)
        for (const double c : {-4.0, -0.2, 0.0, 1.5}) {
            const double shown = inclination_from_camber(c, toe, up, id);
            CHECK_NEAR(camber_from_inclination(shown, toe, up, id), c, 1e-11);
        }
    // At 20 degrees of lock they part by 0.2 degrees, at 0.2 degrees of toe by 0.07 seconds of arc.
    CHECK_NEAR(camber_from_inclination(-3.0, 20.0, {0.0, 0.0, 1.0}, CornerId::front_left), -3.19, 0.005);
    CHECK_NEAR((camber_from_inclination(-3.0, 0.2, {0.0, 0.0, 1.0}, CornerId::front_left) + 3.0) * 3600.0, -0.066,
               0.002);
}

TEST_CASE("pads higher on the left make plumb lean to the left in the ground's frame") {
    Morning m = exact_morning();
    m.readings.pad_height_mm = {1.3, 0.0, 1.3, 0.0};
    for (const CornerId id : all_corners) {
        m.read(id).flags_mm = Flags{40.0, 40.0};
        m.read(id).camber_deg = Reversal{-2.0, 2.0};
    }
    const Measured got = m.measured();
    CHECK(got.ground.plumb.y > 0.0009);
    CHECK(got.ground.plumb.y < 0.0011);
    CHECK_NEAR(got.ground.plumb.x, 0.0, 1e-5);
    CHECK(*got.value("front_left.camber") > -2.0);
    CHECK(*got.value("front_right.camber") < -2.0);
}

TEST_CASE("the ground goes through the measured ride heights, perpendicular to it") {
    const Vec3<double> tilted = {0.004, -0.003, 1.0};
    const Vec3<double> normal = tilted * (1.0 / std::sqrt(squared(tilted)));
    const std::vector<Vec3<double>> points = {{0, 310, 0}, {0, -310, 2}, {-2345, 330, 1}, {-2345, -330, -3}};
    std::vector<double> heights;
    for (const Vec3<double>& p : points) heights.push_back(dot(normal, p) + 31.7);
    const Ground ground = ground_through(points, heights);
    CHECK_NEAR(std::sqrt(squared(ground.frame.z - normal)), 0.0, 1e-14);
    CHECK_NEAR(ground.under_origin_mm, 31.7, 1e-11);
    CHECK_NEAR(dot(ground.frame.x, ground.frame.z), 0.0, 1e-15);
    CHECK_NEAR(ground.frame.x.y / ground.frame.x.x, -normal.x * normal.y / (1.0 - normal.x * normal.x), 1e-15);
    for (std::size_t p = 0; p < points.size(); ++p) CHECK_NEAR(ground.height_mm(points[p]), heights[p], 1e-11);
}

TEST_CASE("heights read from the plate lose the height of the pads' plane under them") {
    Morning m = exact_morning();
    const double on_pads = *m.measured().value("ride_height.front_left");
    m.readings.pad_height_mm = {60.0, 60.0, 60.0, 60.0};
    for (auto& [name, mm] : m.readings.ride_heights_mm)
        for (double& one : mm) one += 60.0;
    m.readings.heights_from_pads = false;
    const Measured got = m.measured();
    CHECK_NEAR(*got.value("ride_height.front_left"), on_pads, 1e-9);
    CHECK_NEAR(*got.value("rake"), 0.5 * (42.8 + 41.6) - 0.5 * (30.8 + 29.5), 1e-9);
    CHECK_NEAR(std::sin(*got.value("rake_angle") * rad) * 2345.0, *got.value("rake"), 1e-9);
    CHECK(got.ground.from == GroundFrom::ride_heights);

    m.readings.ride_heights_mm.erase("front_left");
    m.readings.ride_heights_mm.erase("front_right");
    const Measured two = m.measured();
    CHECK(two.ground.from == GroundFrom::drawn_contacts);
    CHECK(said(two.notes, "contacts as drawn"));
    CHECK(said(two.notes, "Ride height", "front_left, front_right"));
    CHECK_FALSE(two.value("rake"));
}

TEST_CASE("a height read twice is their mean, and repeating does not shrink the last digit") {
    Morning m = exact_morning();
    m.car.instruments.height_gauge = {.resolution_mm = 0.2, .repeatability_mm = 0.1};
    m.car.settling.ride_height_mm = 0.05;
    const Measured got = m.measured();
    CHECK_NEAR(*got.value("ride_height.front_right"), 29.5, 1e-12);
    const double digit = 0.2 / std::sqrt(12.0);
    CHECK_NEAR(u(got, "ride_height.front_left"), std::sqrt(digit * digit + 0.01 + 0.0025), 1e-12);
    CHECK_NEAR(u(got, "ride_height.front_right"), std::sqrt(digit * digit + 0.005 + 0.0025), 1e-12);
}

TEST_CASE("weights: differences are left less right, cross weight is front right and rear left") {
    Morning m = exact_morning();
    const std::array<double, 4> kg = {100.0, 90.0, 150.0, 160.0};
    for (const CornerId id : all_corners) m.read(id).scale_kg = kg[index(id)];
    m.car.settling.warp_kg = 0.15;
    const Measured got = m.measured();
    CHECK_NEAR(*got.value("front_difference"), 10.0, 1e-12);
    CHECK_NEAR(*got.value("rear_difference"), -10.0, 1e-12);
    CHECK_NEAR(*got.value("cross_weight"), 48.0, 1e-12);
    CHECK_NEAR(*got.value("front_share"), 38.0, 1e-12);
    CHECK_NEAR(*got.value("left_share"), 50.0, 1e-12);
    CHECK(info(got.quantities[got.find("cross_weight").value()].id).in_words == "FR + RL");
    // The settling warp: each wheel by 0.15 kg, the differences by twice that and against each other.
    CHECK_NEAR(u(got, "front_left.weight"), 0.15, 1e-12);
    CHECK_NEAR(u(got, "front_difference"), 0.30, 1e-12);
    CHECK_NEAR(correlation(got, "front_difference", "rear_difference"), -1.0, 1e-9);
    CHECK_NEAR(u(got, "total_weight"), 0.0, 1e-12);
}

TEST_CASE("a rack that is not locked leaves only the front's total toe") {
    Morning m = wren_morning();
    const Measured locked = m.measured();
    m.readings.rack_locked = false;
    const Measured free = m.measured();
    CHECK_FALSE(free.value("front_left.toe"));
    CHECK_FALSE(free.value("front_right.toe"));
    CHECK(free.value("rear_left.toe"));
    CHECK_NEAR(*free.value("total_toe_front"), *locked.value("total_toe_front"), 1e-12);
    CHECK_FALSE(free.quantities[free.find("total_toe_front").value()].derived);
    CHECK(said(free.notes, "rack is not said to be locked", "front"));
}

TEST_CASE("what was not read is named, and nothing else is concluded") {
    Morning m = wren_morning();
    Readings none;
    none.rack_locked = true;
    const Measured got = reduce(none, m.car);
    CHECK(got.quantities.empty());
    CHECK(got.values.value.size() == 0);
    for (const char* what : {"Toe", "Camber", "Ride height", "Weight"}) CHECK(said(got.notes, what, "front_left"));

    m.read(CornerId::rear_left).flags_mm.reset();
    m.read(CornerId::front_right).camber_deg.reset();
    const Measured some = m.measured();
    CHECK_FALSE(some.value("rear_left.toe"));
    CHECK_FALSE(some.value("total_toe_rear"));
    CHECK_FALSE(some.value("front_right.camber"));
    CHECK(said(some.notes, "Toe", "rear_left"));
    CHECK(said(some.notes, "Camber", "front_right"));
}

TEST_CASE("a gauge that was checked too long ago is said, unless it was checked this morning") {
    Morning m = wren_morning();
    m.car.instruments.camber_gauge.checked = "2026-01-31";
    m.car.instruments.camber_gauge.valid_days = 60;
    m.readings.at = "2026-05-02T08:10:00Z";
    CHECK_FALSE(said(m.measured().notes, "2026-01-31"));
    m.readings.gauge_check_deg.reset();
    CHECK(said(m.measured().notes, "2026-01-31", "91 days"));
    m.car.instruments.camber_gauge.valid_days = 91;
    CHECK_FALSE(said(m.measured().notes, "2026-01-31"));
}

TEST_CASE("rods and shims that were read win over the settings, and the difference is said") {
    Morning m = wren_morning();
    Thread& rod = m.thread(CornerId::front_left, "track rod");
    rod.now_turns = 1.0;
    m.read(CornerId::front_left).shims_mm["camber shim"] = {2.0, 0.5};
    const double drawn = std::sqrt(squared(m.car[CornerId::front_left].at(Point::track_rod_outer) -
                                           m.car[CornerId::front_left].at(Point::track_rod_inner)));
    m.read(CornerId::front_left).lengths_mm[Length::track_rod] = drawn + 1.25;  // half a turn of 2.5 mm
    std::vector<std::string> notes;
    const Car now = as_read(m.car, m.readings, notes);
    const Corner& corner = now[CornerId::front_left];
    CHECK_NEAR(corner.adjusters[*corner.find("track rod")].thread()->now_turns, 0.5, 1e-12);
    CHECK_NEAR(corner.adjusters[*corner.find("camber shim")].stack()->total_mm(), 2.5, 1e-12);
    CHECK(notes.size() == 2);
    CHECK(said(notes, "front_left.camber shim", "2.0 + 0.5 mm", "2.0 + 1.0 mm"));
    CHECK(said(notes, "front_left.track_rod", "eye to eye"));
    const Measured got = m.measured();
    CHECK(got.read.turns.size() == 1);
    CHECK(said(got.notes, "front_left.camber shim"));
}

TEST_CASE("flags further apart than their span are refused, never not-a-number") {
    Morning m = wren_morning();
    m.read(CornerId::front_left).flags_mm = Flags{600.0, 40.0};
    CHECK_THROWS_AS(m.measured(), InputError);
}

TEST_CASE("the law of propagation agrees with a Monte Carlo of the readings themselves") {
    // Every number on the clipboard and every shared error is drawn anew and the whole sheet reduced again.
    Morning m = wren_morning();
    m.car.settling = {};
    m.car.instruments.flag_ruler.level_uncertainty_deg = 0.0;  // by hand above
    m.car.instruments.flag_ruler.repeatability_mm = 0.1;
    m.car.strings.end_uncertainty_mm = 0.5;
    m.readings.heights_from_pads = false;
    const Measured mean = m.measured();
    const auto size = static_cast<std::size_t>(mean.values.value.size());

    NumpyLegacy random(3);
    const auto draw = [&](double& value, double resolution, double repeatability) {
        value += std::hypot(resolution / std::sqrt(12.0), repeatability) * random.randn();
    };
    const Instruments& with = m.car.instruments;
    const int trials = test_size("Monte Carlo of a sheet of readings", 1500, 20000);
    Eigen::MatrixXd off(trials, static_cast<Eigen::Index>(size));
    for (int t = 0; t < trials; ++t) {
        Readings sheet = m.readings;
        for (std::array<double, 2>* bar : {&*sheet.front_bar_mm, &*sheet.rear_bar_mm})
            for (double& mm : *bar) draw(mm, 0.0, m.car.strings.end_uncertainty_mm);
        for (double& mm : *sheet.pad_height_mm) draw(mm, with.pad_level.resolution_mm, with.pad_level.repeatability_mm);
        for (auto& [name, all] : sheet.ride_heights_mm) {
            double shared = 0.0;
            draw(shared, with.height_gauge.resolution_mm, 0.0);
            for (double& mm : all) {
                mm += shared;
                draw(mm, 0.0, with.height_gauge.repeatability_mm);
            }
        }
        const CamberGauge& gauge = with.camber_gauge;
        draw(sheet.gauge_check_deg->facing, gauge.resolution_deg, gauge.repeatability_deg);
        draw(*sheet.gauge_check_deg->turned, gauge.resolution_deg, gauge.repeatability_deg);
        for (CornerReadings& corner : sheet.corners) {
            draw(corner.flags_mm->front_mm, with.flag_ruler.resolution_mm, with.flag_ruler.repeatability_mm);
            draw(corner.flags_mm->rear_mm, with.flag_ruler.resolution_mm, with.flag_ruler.repeatability_mm);
            draw(corner.camber_deg->facing, gauge.resolution_deg, gauge.repeatability_deg);
            const double true_kg = *corner.scale_kg;
            draw(*corner.scale_kg, with.scale.resolution_kg, with.scale.repeatability_kg);
            draw(*corner.scale_kg, 0.0, with.scale.zero_uncertainty_kg);
            draw(*corner.scale_kg, 0.0, 0.01 * with.scale.span_uncertainty_percent * true_kg);
        }
        off.row(t) = (reduce(sheet, m.car).values.value - mean.values.value).transpose();
    }
    const Eigen::MatrixXd V = off.transpose() * off / trials;
    const double sigma = 1.0 / std::sqrt(trials);
    for (std::size_t i = 0; i < size; ++i)
        for (std::size_t j = 0; j <= i; ++j) {
            const auto a = static_cast<Eigen::Index>(i), b = static_cast<Eigen::Index>(j);
            const double scale = std::sqrt(mean.values.covariance(a, a) * mean.values.covariance(b, b));
            INFO(key(mean.quantities[i].id) << " with " << key(mean.quantities[j].id));
            // Of normal variables the product's standard deviation is at most sqrt(2) times the scale.
            CHECK_NEAR(V(a, b) / scale, mean.values.covariance(a, b) / scale, 5.0 * std::sqrt(2.0) * sigma);
        }
}
