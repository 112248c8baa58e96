// Published examples of instruments, through the functions that readings go through. Tags as in uncertainty_test.cpp.
#include <Eigen/Geometry>
#include <cmath>

#include "catch.hpp"
#include "numpy_legacy.hpp"
#include "workshop/measure/draws.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

// An instrument maker's instruction for a level, SEEN: 4 divisions to the left and, turned end for end, 3 to the right
// as the observer sees it; the level is off by 3.5, the surface by 0.5. In the level's own sense that is +4 and +3.
TEST_CASE("level reversal: half the sum is the level's own, half the difference the surface's", "[published]") {
    Morning m = wren_morning();
    m.readings.gauge_check_deg.reset();
    m.readings.pad_height_mm.reset();
    m.read(CornerId::rear_left).flags_mm = Flags{40.0, 40.0};  // toe 0: camber is inclination
    m.read(CornerId::rear_left).camber_deg = Reversal{4.0, 3.0};
    const Measured got = m.measured();
    CHECK_NEAR(got.gauge_zero_deg[index(CornerId::rear_left)], 3.5, 1e-12);
    CHECK_NEAR(*got.value("rear_left.camber"), 0.5, 1e-9);
}

// Society of Automotive Engineers paper 850219 as publicly summarised, SEEN: 0.05 deg of error of the camber gauge
// makes about 0.14 deg of caster at +-10 deg of steer. The exact relation is that of alignment_test.cpp; here its
// camber and steer are what flags and a gauge read of a rigid upright that is turned about a known axis.
TEST_CASE("caster from the camber that was read at two steer angles", "[published]") {
    constexpr double caster_deg = 5.3, kpi_deg = 8.1;
    const Eigen::Vector3d up =
        Eigen::Vector3d(-std::tan(caster_deg * rad_per_deg), -std::tan(kpi_deg * rad_per_deg), 1.0).normalized();
    const Eigen::Vector3d straight = Eigen::Vector3d(0.0, 1.0, std::tan(2.6 * rad_per_deg)).normalized();
    const auto steered = [&](double toe_deg) {
        const auto turned = [&](double by) -> Eigen::Vector3d { return Eigen::AngleAxisd(by, up) * straight; };
        double low = -0.8, high = 0.8;  // turned about up, the left wheel goes out
        for (int i = 0; i < 60; ++i) {
            const double middle = 0.5 * (low + high);
            const Eigen::Vector3d axle = turned(middle);
            (std::atan2(axle.x(), axle.y()) * deg_per_rad > toe_deg ? low : high) = middle;
        }
        return turned(low);
    };
    struct Read {
        double toe, inclination;
    };
    const auto read = [&](double toe_deg, double gauge_off_deg) {
        const Eigen::Vector3d axle = steered(toe_deg);
        Morning m = wren_morning();
        m.readings.gauge_check_deg.reset();
        m.readings.pad_height_mm.reset();
        const double half_mm =
            0.5 * m.car[CornerId::front_left].wheel.flag_span_mm * axle.x() / std::hypot(axle.x(), axle.y());
        const double gauge_deg = std::asin(-axle.z()) * deg_per_rad + gauge_off_deg;
        m.read(CornerId::front_left).flags_mm = Flags{80.0 + half_mm, 80.0 - half_mm};
        m.read(CornerId::front_left).camber_deg = Reversal{gauge_deg, -gauge_deg};
        const Measured got = m.measured();
        const double toe = *got.value("front_left.toe") * rad_per_deg;
        const double across = std::tan(*got.value("front_left.camber") * rad_per_deg);
        return Read{toe, std::asin(across / std::sqrt(1.0 + across * across + std::pow(std::tan(toe), 2)))};
    };
    const auto caster = [&](double steer_deg, double gauge_off_deg) {
        const auto [t, a] = read(steer_deg, gauge_off_deg);
        const auto [minus_t, b] = read(-steer_deg, 0.0);
        CHECK_NEAR(t, -minus_t, 1e-12);
        const double kpi = std::tan(kpi_deg * rad_per_deg);
        return std::atan((std::sin(b) - std::sin(a) + kpi * std::cos(t) * (std::cos(b) - std::cos(a))) /
                         (std::sin(t) * (std::cos(a) + std::cos(b)))) *
               deg_per_rad;
    };
    for (const double steer_deg : {5.0, 10.0, 20.0}) CHECK_NEAR(caster(steer_deg, 0.0), caster_deg, 1e-9);
    CHECK_NEAR(caster_deg - caster(10.0, 0.05), 0.14, 0.01);
}

// JCGM 101:2008 9.2.2 and 9.2.3, SEEN: sums of four normal and of four even errors of unit variance.
TEST_CASE("intervals of draws are those of JCGM 101", "[published]") {
    NumpyLegacy random(11);
    Eigen::MatrixXd sums(400'000, 2);
    for (Eigen::Index draw = 0; draw < sums.rows(); ++draw) {
        sums(draw, 0) = random.randn() + random.randn() + random.randn() + random.randn();
        sums(draw, 1) = std::sqrt(12.0) * (random.rand() + random.rand() + random.rand() + random.rand() - 2.0);
    }
    const Uncertain spread = spread_of(sums);
    const Eigen::MatrixX2d ends = within(sums, 0.95);  // an end scatters by 0.008
    for (Eigen::Index of = 0; of < 2; ++of) {
        CHECK_NEAR(spread.standard()(of), 2.0, 0.01);
        CHECK_NEAR(ends(of, 0), of == 0 ? -3.92 : -3.88, 0.03);
        CHECK_NEAR(ends(of, 1), of == 0 ? 3.92 : 3.88, 0.03);
    }
}
