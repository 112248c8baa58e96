// The measurement model opened: its inputs by name, derivatives by each of them, and propagation by draws.
#include "shimwise/workshop/measure/input_quantities.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "size.hpp"
#include "workshop/measure/sheet_model.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr double rad = 3.14159265358979323846 / 180.0;

const InputQuantity& input(const Measured& m, const std::string& key) {
    const auto at =
        std::find_if(m.inputs.begin(), m.inputs.end(), [&](const InputQuantity& i) { return i.key == key; });
    INFO(key);
    REQUIRE(at != m.inputs.end());
    return *at;
}

double by(const Measured& m, const std::string& value, const std::string& key) {
    return m.by_inputs(static_cast<Eigen::Index>(m.find(value).value()), &input(m, key) - m.inputs.data());
}

Morning full_morning() {
    Morning m = wren_morning();
    m.readings.heights_from_pads = false;
    m.read(CornerId::front_left).camber_deg = Reversal{-2.7, 2.75};
    m.read(CornerId::rear_left).lengths_mm[Length::track_rod] = 375.3;
    m.readings.front_bar_mm = {906.0, 905.0};
    return m;
}

}  // namespace

TEST_CASE("every reading and every shared error is an input of its own, by name") {
    const Measured m = full_morning().measured();
    std::set<std::string> keys;
    for (const InputQuantity& i : m.inputs) keys.insert(i.key);
    CHECK(keys.size() == m.inputs.size());
    CHECK(input(m, "strings.left.front").value == 906.0);
    CHECK(input(m, "strings.left.front").unit == "mm");
    CHECK(input(m, "strings.left.front").anew.standard() == 0.0);
    CHECK(input(m, "strings.left.front").stays.normal == 0.3);
    CHECK(input(m, "front_left.camber.turned").value == 2.75);
    CHECK(input(m, "rear_left.track_rod").value == 375.3);
    const InputQuantity& flag = input(m, "front_left.flags.front");
    CHECK(flag.anew.last_digit == 0.2);
    CHECK(flag.standard() == std::hypot(0.2 / std::sqrt(12.0), flag.anew.normal));
    for (const std::string key : {"gauge_check.facing", "settling.warp", "pad.rear_right", "ride_height.front_left",
                                  "front_right.flags.level", "front_right.toe.settling", "rear_right.scale"})
        input(m, key);
}

TEST_CASE("derivatives by inputs are those of the formulas") {
    Morning morning = full_morning();
    morning.readings.rack_locked = true;
    const Measured m = morning.measured();
    const double span = morning.car[CornerId::rear_left].wheel.flag_span_mm;
    const Flags flags = *morning.read(CornerId::rear_left).flags_mm;
    const double sine = (flags.front_mm - flags.rear_mm) / span;
    const double per_mm = 1.0 / (rad * span * std::sqrt(1.0 - sine * sine));
    CHECK_NEAR(by(m, "rear_left.toe", "rear_left.flags.front"), per_mm, 1e-9 * per_mm);
    CHECK_NEAR(by(m, "rear_left.toe", "rear_left.flags.rear"), -per_mm, 1e-9 * per_mm);
    CHECK_NEAR(by(m, "rear_right.toe", "rear_left.flags.front"), 0.0, 1e-12);
    const double apart = morning.car.strings.bars_apart_mm, angle = std::atan(1.0 / apart);
    const double string_per_mm = std::cos(angle) * std::cos(angle) / (apart * rad);
    CHECK_NEAR(by(m, "rear_left.toe", "strings.left.front"), -string_per_mm, 1e-9 * per_mm);
    double sum = 0.0;
    for (const InputQuantity& i : m.inputs) sum += i.kind == InputKind::scale ? i.value : 0.0;
    const double cross = *m.value("cross_weight");
    CHECK_NEAR(by(m, "cross_weight", "front_right.scale"), (100.0 - cross) / sum, 1e-10);
    CHECK_NEAR(by(m, "cross_weight", "rear_right.scale"), -cross / sum, 1e-10);
    CHECK_NEAR(by(m, "front_left.camber", "front_left.camber.facing"), 0.5, 2e-3);
}

TEST_CASE("derivatives are the same by other steps, to 1e-9 of the largest of a value") {
    const Morning morning = full_morning();
    const Measured m = morning.measured();
    const Car car = as_read(morning.car, m.read);
    const SheetModel model(morning.readings, car);
    for (std::size_t i = 0; i < m.inputs.size(); ++i) {
        const auto at = static_cast<Eigen::Index>(i);
        const auto slope = [&](double h) -> Eigen::VectorXd {
            Eigen::VectorXd up = model.at(), down = model.at();
            up(at) += h;
            down(at) -= h;
            return (model.values(up) - model.values(down)) / (up(at) - down(at));
        };
        const Eigen::VectorXd a = slope(0.08), b = slope(0.04), c = slope(0.02);
        const Eigen::VectorXd ab = (4.0 * b - a) / 3.0, bc = (4.0 * c - b) / 3.0, best = (16.0 * bc - ab) / 15.0;
        for (Eigen::Index v = 0; v < m.by_inputs.rows(); ++v) {
            INFO(key(m.quantities[static_cast<std::size_t>(v)].id) << " by " << m.inputs[i].key);
            CHECK_NEAR(m.by_inputs(v, at), best(v), 1e-9 * m.by_inputs.row(v).cwiseAbs().maxCoeff());
        }
    }
}

TEST_CASE("covariances are what the inputs are off by, carried on by the derivatives") {
    const Measured m = full_morning().measured();
    for (Eigen::Index v = 0; v < m.by_inputs.rows(); ++v) {
        double all = 0.0, anew = 0.0;
        for (std::size_t i = 0; i < m.inputs.size(); ++i) {
            const double slope = m.by_inputs(v, static_cast<Eigen::Index>(i));
            all += std::pow(slope * m.inputs[i].standard(), 2);
            anew += std::pow(slope * m.inputs[i].anew.standard(), 2);
        }
        CHECK_NEAR(m.values.covariance(v, v), all, 1e-12 * all);
        CHECK_NEAR(m.repeat_covariance(v, v), anew, 1e-12 * all);
    }
    CHECK(m.within_95.rows() == 0);
}

TEST_CASE("draws agree with the law of propagation within their own error, and are the same from one seed") {
    const Morning morning = full_morning();
    const Measured law = morning.measured();
    const auto count = static_cast<std::size_t>(test_size("draws of a sheet's inputs", 4000, 100000));
    const Measured draws = reduce(morning.readings, morning.car, Draws{count, 7});
    const double sigma = 1.0 / std::sqrt(static_cast<double>(count));
    for (Eigen::Index v = 0; v < law.values.value.size(); ++v) {
        INFO(key(law.quantities[static_cast<std::size_t>(v)].id));
        const double u = std::sqrt(law.values.covariance(v, v));
        CHECK_NEAR(draws.values.value(v), law.values.value(v), 5.0 * sigma * u);
        CHECK_NEAR(std::sqrt(draws.values.covariance(v, v)) / u, 1.0, 5.0 * sigma);
        CHECK(draws.within_95(v, 0) < draws.values.value(v) - 1.5 * u);
        CHECK(draws.within_95(v, 1) > draws.values.value(v) + 1.5 * u);
        CHECK_NEAR(draws.within_95(v, 1) - draws.within_95(v, 0), 3.92 * u, 0.3 * u);
    }
    const Measured again = reduce(morning.readings, morning.car, Draws{count, 7});
    CHECK(again.values.value == draws.values.value);
    const Measured other = reduce(morning.readings, morning.car, Draws{count, 8});
    CHECK(other.values.value != draws.values.value);
    CHECK_THROWS_AS(reduce(morning.readings, morning.car, Draws{999, 1}), InputError);
}

TEST_CASE("one even error is drawn even: 95 % of it lie within 95 % of its width") {
    Morning morning = wren_morning();
    morning.car.instruments = {};
    morning.car.instruments.scale.resolution_kg = 1.0;
    morning.car.settling = {};
    const Measured draws = reduce(morning.readings, morning.car, Draws{20000, 1});
    const auto at = static_cast<Eigen::Index>(draws.find("front_left.weight").value());
    CHECK_NEAR(std::sqrt(draws.values.covariance(at, at)), 1.0 / std::sqrt(12.0), 0.005);
    CHECK_NEAR(draws.within_95(at, 1) - draws.within_95(at, 0), 0.95, 0.01);
}
