#include "shimwise/workshop/choose/other_place.hpp"

#include <cmath>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/rest/solve.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

using Pads = std::array<double, 4>;

Measured read_on(Morning m, const Pads& pads_mm) {
    m.readings.pad_height_mm = pads_mm;
    return m.measured();
}

const CarValue& found(const OtherPlace& other, const std::string& name) {
    for (const CarValue& value : other.values)
        if (key(value.id) == name) return value;
    throw std::out_of_range(name);
}

}  // namespace

TEST_CASE("at a place that lies the same way everything reads the same") {
    const Morning m = wren_morning();
    const Measured there = read_on(m, {0.3, 0.0, -0.2, 0.5}), here = read_on(m, {1.3, 1.0, 0.8, 1.5});
    const OtherPlace same = expect_here(here, there, m.car);
    REQUIRE(!same.values.empty());
    for (const CarValue& value : same.values) CHECK_NEAR(value.then, value.now, 1e-7);
    for (const auto& gauge : same.gauges) CHECK_NEAR(gauge.value().here_deg, gauge.value().there_deg, 1e-9);
}

TEST_CASE("scales and gauges move as the model of the car at rest moves from pads to pads") {
    Morning m = wren_morning();
    const Pads pads_there = {0.3, 0.0, -0.2, 0.5}, pads_here = {-1.0, 2.0, 0.4, 0.0};
    const OtherPlace other = expect_here(read_on(m, pads_here), read_on(m, pads_there), m.car);
    const RestModel model = with_ballast(rest_model(m.car), m.readings.ballast_kg);
    const RestValues<double> is = rest(model, pads_here).values, was = rest(model, pads_there).values;
    for (std::size_t c = 0; c < 4; ++c) {
        const auto id = static_cast<CornerId>(c);
        const CarValue& scale = found(other, std::string(corner_names[c]) + ".weight");
        CHECK_NEAR(scale.now, m.readings.corners[c].scale_kg.value(), 1e-12);
        CHECK_NEAR(scale.then - scale.now, is.at(id, CornerLoad::weight) - was.at(id, CornerLoad::weight), 1e-9);
        const GaugeHere& gauge = other.gauges[c].value();
        CHECK_NEAR(gauge.there_deg, m.readings.corners[c].camber_deg->facing, 0.0);
        CHECK_NEAR(gauge.here_deg - gauge.there_deg,
                   is.at(id, CornerLoad::inclination_to_plumb) - was.at(id, CornerLoad::inclination_to_plumb), 1e-9);
    }
    CHECK(std::abs(found(other, "front_left.weight").then - found(other, "front_left.weight").now) > 1.0);
}

TEST_CASE("what is read here scatters by both readings and by the pads of both places") {
    Morning m = wren_morning();
    const Pads there = {0.0, 0.0, 0.0, 0.0}, here = {0.5, 0.0, 0.0, 0.0};
    const OtherPlace other = expect_here(read_on(m, here), read_on(m, there), m.car);
    const CarValue& scale = found(other, "front_left.weight");
    const Measured measured = read_on(m, there);
    const auto at = static_cast<Eigen::Index>(measured.find("front_left.weight").value());
    const double anew = 2.0 * measured.repeat_covariance(at, at);
    CHECK(scale.deviation > std::sqrt(anew));
    m.car.instruments.pad_level.repeatability_mm = 0.0;
    m.car.instruments.pad_level.resolution_mm = 1e-9;
    const OtherPlace exact = expect_here(read_on(m, here), read_on(m, there), m.car);
    CHECK_NEAR(found(exact, "front_left.weight").deviation, std::sqrt(anew), 1e-7);
}

TEST_CASE("what the pads of both places may be off, by differences of every pad") {
    const Morning m = wren_morning();
    const PadLevel& with = m.car.instruments.pad_level;
    const double u = std::hypot(with.resolution_mm / std::sqrt(12.0), with.repeatability_mm);
    const std::array<Pads, 2> pads = {Pads{-1.0, 2.0, 0.4, 0.0}, Pads{0.3, 0.0, -0.2, 0.5}};  // here, there
    const Measured there = read_on(m, pads[1]);
    const OtherPlace other = expect_here(read_on(m, pads[0]), there, m.car);
    std::vector<double> variance(other.values.size(), 0.0);
    std::array<double, 4> of_gauge{};
    for (std::size_t place = 0; place < 2; ++place)
        for (std::size_t c = 0; c < 4; ++c) {
            std::array<OtherPlace, 2> moved;
            for (std::size_t way = 0; way < 2; ++way) {
                std::array<Pads, 2> off = pads;
                off[place][c] += way == 0 ? u : -u;
                moved[way] = expect_here(read_on(m, off[0]), read_on(m, off[1]), m.car);
            }
            for (std::size_t v = 0; v < variance.size(); ++v)
                variance[v] += std::pow(0.5 * (moved[0].values[v].then - moved[1].values[v].then), 2);
            for (std::size_t w = 0; w < 4; ++w)
                of_gauge[w] += std::pow(0.5 * (moved[0].gauges[w]->here_deg - moved[1].gauges[w]->here_deg), 2);
        }
    for (std::size_t v = 0; v < variance.size(); ++v) {
        const auto at = static_cast<Eigen::Index>(there.find(other.values[v].id).value());
        const double anew = 2.0 * there.repeat_covariance(at, at);
        INFO(key(other.values[v].id));
        CHECK_NEAR(std::pow(other.values[v].deviation, 2), anew + variance[v], 1e-3 * variance[v] + 1e-12);
    }
    for (std::size_t w = 0; w < 4; ++w) {
        double anew = 0.0;
        for (const InputQuantity& input : there.inputs)
            if (input.key == std::string(corner_names[w]) + ".camber.facing" ||
                input.key == std::string(corner_names[w]) + ".camber.settling")
                anew += 2.0 * std::pow(input.anew.standard(), 2);
        CHECK_NEAR(std::pow(other.gauges[w]->deviation_deg, 2), anew + of_gauge[w], 1e-3 * of_gauge[w]);
    }
}

TEST_CASE("what is not read there is not expected here, and pads that were not read are refused") {
    Morning m = wren_morning();
    const Measured here = m.measured();
    m.readings.corners[1].camber_deg.reset();
    m.readings.corners[2].scale_kg.reset();
    const OtherPlace other = expect_here(here, m.measured(), m.car);
    CHECK(!other.gauges[1]);
    CHECK_THROWS_AS(found(other, "rear_left.weight"), std::out_of_range);
    m.readings.pad_height_mm.reset();
    CHECK_THROWS_WITH(
        expect_here(here, m.measured(), m.car),
        Catch::Matchers::EndsWith("pads: were not read: nothing says how this place lies beside the other"));
    CHECK_THROWS_AS(expect_here(m.measured(), here, m.car), InputError);
}
