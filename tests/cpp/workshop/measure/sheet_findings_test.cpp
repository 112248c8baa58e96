#include "shimwise/workshop/measure/sheet_findings.hpp"

#include <cmath>

#include "catch.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr double rad = 3.14159265358979323846 / 180.0;

double share(const std::vector<PartOfVariance>& parts, InputKind kind) {
    for (const PartOfVariance& part : parts)
        if (part.kind == kind) return part.share;
    return 0.0;
}

}  // namespace

TEST_CASE("what a value is made of adds up to its variance, the largest first") {
    const Measured m = wren_morning().measured();
    for (std::size_t q = 0; q < m.quantities.size(); ++q) {
        const std::vector<PartOfVariance> parts = made_of(m, q);
        REQUIRE(!parts.empty());
        double sum = 0.0;
        for (std::size_t i = 0; i < parts.size(); ++i) {
            sum += parts[i].share;
            CHECK(parts[i].share > 0.0);
            if (i > 0) CHECK(parts[i].share <= parts[i - 1].share);
        }
        CHECK_NEAR(sum, 1.0, 1e-12);
    }
}

TEST_CASE("toe is made of flags, their level, string ends and settling: by hand") {
    Morning morning = wren_morning();
    const Measured m = morning.measured();
    const auto parts = made_of(m, m.find("rear_left.toe").value());
    const double flag_u = std::hypot(morning.car.instruments.flag_ruler.resolution_mm / std::sqrt(12.0),
                                     morning.car.instruments.flag_ruler.repeatability_mm);
    const double span = morning.car[CornerId::rear_left].wheel.flag_span_mm;
    const double flags_deg = std::sqrt(2.0) * flag_u / span / rad;
    const double ends_deg =
        std::sqrt(2.0) * morning.car.strings.end_uncertainty_mm / morning.car.strings.bars_apart_mm / rad;
    const double u = m.uncertainty("rear_left.toe").value();
    CHECK_NEAR(share(parts, InputKind::flag), std::pow(flags_deg / u, 2), 1e-4);
    CHECK_NEAR(share(parts, InputKind::string_end), std::pow(ends_deg / u, 2), 1e-4);
    CHECK_NEAR(share(parts, InputKind::settling), std::pow(morning.car.settling.toe_deg / u, 2), 1e-12);
    CHECK(share(parts, InputKind::scale) == 0.0);
    morning.car.instruments = {};
    morning.car.settling = {};
    morning.car.strings.end_uncertainty_mm = 0.0;
    CHECK(made_of(morning.measured(), 0).empty());
}

TEST_CASE("strings: how they run, how far off the middle, and how sure") {
    Morning morning = wren_morning();
    morning.readings.front_bar_mm = {908.0, 905.0};
    morning.readings.rear_bar_mm = {905.0, 906.0};
    const double u = morning.car.strings.end_uncertainty_mm, apart = morning.car.strings.bars_apart_mm;
    const Measured m = morning.measured();
    const StringsRead s = strings_read(m, morning.car).value();
    CHECK_NEAR(s.angle_deg[0].value, std::atan(3.0 / apart) / rad, 1e-12);
    CHECK_NEAR(s.angle_deg[0].value, m.string_angle_deg[0], 1e-12);
    CHECK_NEAR(s.angle_deg[1].value, m.string_angle_deg[1], 1e-12);
    CHECK_NEAR(s.angle_deg[0].u, std::sqrt(2.0) * u / apart / rad, 1e-6);
    CHECK_NEAR(s.wider_in_front_mm.value, 2.0, 1e-12);
    CHECK_NEAR(s.wider_in_front_mm.u, 2.0 * u, 1e-12);
    CHECK_NEAR(s.off_centre_mm[0].value, 1.5, 1e-12);
    CHECK_NEAR(s.off_centre_mm[1].value, -0.5, 1e-12);
    CHECK_NEAR(s.off_centre_mm[0].u, u / std::sqrt(2.0), 1e-12);
    CHECK(!s.angle_deg[0].unsure());
    CHECK(s.off_centre_mm[1].unsure() == (u / std::sqrt(2.0) >= 0.5));
    CHECK((Finding{0.0, 0.1}).unsure());
    CHECK((Finding{-0.1, 0.2}).unsure());
    CHECK(!(Finding{-0.3, 0.2}).unsure());
    morning.readings.front_bar_mm.reset();
    morning.readings.rear_bar_mm.reset();
    CHECK(!strings_read(morning.measured(), morning.car));
}

TEST_CASE("strings on stands: a car that moves between them brings its lateral settling into toe, by its wheelbase") {
    Morning morning = wren_morning();
    morning.car.settling.lateral_mm = 0.5;
    const Measured on_car = morning.measured();
    morning.car.strings.on_car = false;
    const Measured on_stands = morning.measured();
    const auto x = [&](CornerId id) { return morning.car[id].at(Point::wheel_centre).x; };
    const double yaw_deg = std::sqrt(2.0) * 0.5 / (x(CornerId::front_left) - x(CornerId::rear_left)) / rad;
    for (const char* key : {"rear_left.toe", "rear_right.toe", "front_left.toe"}) {
        const double more =
            std::pow(on_stands.uncertainty(key).value(), 2) - std::pow(on_car.uncertainty(key).value(), 2);
        CHECK_NEAR(std::sqrt(more), yaw_deg, 1e-6);
        CHECK_NEAR(on_stands.value(key).value(), on_car.value(key).value(), 1e-15);
    }
    // The wheels of an axle turn together: what one gains the other loses.
    CHECK_NEAR(on_stands.uncertainty("total_toe_rear").value(), on_car.uncertainty("total_toe_rear").value(), 1e-9);
    const auto thrust = static_cast<Eigen::Index>(on_car.find("thrust_angle").value());
    CHECK_NEAR(std::sqrt(on_stands.repeat_covariance(thrust, thrust) - on_car.repeat_covariance(thrust, thrust)),
               yaw_deg, 1e-6);
}

TEST_CASE("the gauge's zero is half the sum of its check, or the file's, and readings taken twice are found") {
    Morning morning = wren_morning();
    const Finding checked = gauge_zero_deg(morning.measured());
    CHECK_NEAR(checked.value, 0.04, 1e-12);
    const CamberGauge& gauge = morning.car.instruments.camber_gauge;
    const double one = std::hypot(gauge.resolution_deg / std::sqrt(12.0), gauge.repeatability_deg);
    CHECK_NEAR(checked.u, one / std::sqrt(2.0), 1e-12);
    morning.readings.gauge_check_deg.reset();
    const Finding filed = gauge_zero_deg(morning.measured());
    CHECK(filed.value == gauge.zero_error_deg);
    CHECK(filed.u == gauge.zero_uncertainty_deg);
    const std::vector<Repeat> twice = repeats(morning.measured(), morning.car);
    REQUIRE(twice.size() == 1);
    CHECK(twice[0].key == "ride_height.front_right");
    CHECK(twice[0].unit == "mm");
    CHECK(twice[0].readings == morning.readings.ride_heights_mm.at("front_right"));
}
