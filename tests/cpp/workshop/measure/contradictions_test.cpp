#include "shimwise/workshop/measure/contradictions.hpp"

#include <cmath>
#include <numeric>

#include "catch.hpp"
#include "shimwise/rest/solve.hpp"
#include "shimwise/units.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr double out_mm = 220.0;

/// The demo car well known, its toe rods turned by so much, and a sheet that says what the car at rest says, to every
/// digit.
Morning exact_morning(double turns = 0.0) {
    Morning m = wren_morning();
    for (std::size_t c = 0; c < corner_count; ++c)
        m.thread(static_cast<CornerId>(c), c < 2 ? "track rod" : "toe link").now_turns = turns;
    m.car.known = {.toe_deg = 0.03,
                   .camber_deg = 0.03,
                   .places_mm = 0.3,
                   .total_kg = 0.5,
                   .total_at_mm = 1.0,
                   .rods_mm = 1.0,
                   .pushrods_mm = 1.5,
                   .platforms_mm = 0.5};
    m.readings.pad_height_mm = {};
    m.readings.gauge_check_deg = Reversal{0.0, 0.0};
    m.readings.gauge_checks = {{"", 0.0}};
    const RestState state = rest(rest_model(m.car));
    for (std::size_t p = 0; p < m.car.ride_heights.size(); ++p)
        m.readings.ride_heights_mm[m.car.ride_heights[p].name] = {state.values.ride_heights_mm[p]};
    double middle = 0.0;
    for (const Corner& corner : m.car.corners) middle += corner.at(Point::wheel_centre).x / corner_count;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto id = static_cast<CornerId>(c);
        m.car[id].wheel.flags_out_mm = out_mm;
        const double toe = state.values.at(id, Output::toe) * rad_per_deg;
        const double camber = state.values.at(id, Output::camber);
        const double mean = (*m.readings.front_bar_mm)[c % 2] - out_mm - state.values.at(id, Output::half_track) -
                            m.car[id].wheel.radius_mm * std::sin(camber * rad_per_deg);
        const double half = 0.5 * m.car[id].wheel.flag_span_mm * std::sin(toe);
        CornerReadings& read = m.readings.corners[c];
        read.flags_mm = Flags{mean + half, mean - half};
        read.camber_deg = Reversal{camber, std::nullopt};
        read.scale_kg = state.values.at(id, CornerLoad::weight);
    }
    return m;
}

Contradictions found(const Morning& m) { return contradictions(m.measured(), m.car).value(); }

}  // namespace

TEST_CASE("a sheet that says what the car says is off by nothing, and nothing is wrong with it") {
    const Contradictions is = found(exact_morning());
    CHECK(is.degrees == 20);  // toe, camber, weight and place of each wheel, four heights
    CHECK(is.chi_square < 1e-6);
    CHECK_NEAR(is.p, 1.0, 1e-9);
    CHECK(is.slips.front().kind == SlipKind::none);
    CHECK(is.slips.front().odds == 1.0);
    CHECK(is.doubt.empty());
}

TEST_CASE("chances of all explanations are one together and fall in their order") {
    const Contradictions is = found(wren_morning());
    double sum = 0.0, before = 1.0;
    for (const Slip& slip : is.slips) {
        CHECK(slip.chance <= before);
        CHECK_FALSE(slip.words.empty());
        sum += before = slip.chance;
    }
    CHECK_NEAR(sum, 1.0, 1e-12);
}

TEST_CASE("chi-square grows by the square of what one reading is off") {
    Morning m = exact_morning();
    const double right = *m.read(CornerId::rear_left).scale_kg;
    const auto chi_square = [&](double kg) {
        m.read(CornerId::rear_left).scale_kg = right + kg;
        return found(m).chi_square;
    };
    // The span's uncertainty grows with the reading.
    CHECK_NEAR(chi_square(0.4) / chi_square(0.2), 4.0, 0.01);
    CHECK_NEAR(chi_square(-0.2) / chi_square(0.2), 1.0, 0.01);
}

TEST_CASE("a lost sign is named at every wheel, with the place where to look") {
    for (std::size_t c = 0; c < corner_count; ++c) {
        Morning m = exact_morning();
        m.readings.corners[c].camber_deg->facing *= -1.0;
        const Contradictions is = found(m);
        CHECK(is.slips.front().kind == SlipKind::sign);
        CHECK(is.at == std::string(corner_names[c]) + ".camber_deg");
        CHECK(said({is.doubt}, "has the wrong sign", "more than a million times likelier"));
        for (std::size_t i = 1; i < is.slips.size(); ++i)  // the amount at this gauge is the same line
            CHECK((is.slips[i].kind != SlipKind::camber || is.slips[i].inputs != is.slips.front().inputs));
    }
}

TEST_CASE("ten millimetres and ten kilograms too much are named with their amount") {
    struct Case {
        SlipKind kind;
        std::string key;
        void (*slip)(Readings&);
    };
    for (const Case& one :
         {Case{SlipKind::scale, "front_left.scale", [](Readings& r) { *r.corners[0].scale_kg += 10.0; }},
          Case{SlipKind::flag, "rear_right.flags.rear", [](Readings& r) { r.corners[3].flags_mm->rear_mm += 10.0; }},
          Case{SlipKind::height, "ride_height.rear_left",
               [](Readings& r) { r.ride_heights_mm["rear_left"][0] += 10.0; }},
          Case{SlipKind::string_end, "strings.left.front", [](Readings& r) { (*r.front_bar_mm)[0] += 10.0; }}}) {
        Morning m = exact_morning();
        one.slip(m.readings);
        const Contradictions is = found(m);
        const Slip& first = is.slips.front();
        CHECK(first.kind == one.kind);
        CHECK(first.inputs == std::vector<std::string>{one.key});
        CHECK_NEAR(first.amount, 10.0, 1.5);
        CHECK(first.chi_square < 1.0);  // undone, nothing is left
        CHECK(said({is.doubt}, "read about", "too high"));
    }
}

TEST_CASE("flags that are exchanged are named where rods are known well") {
    for (const CornerId id : {CornerId::front_left, CornerId::rear_right}) {
        Morning m = exact_morning(1.0);
        m.car.known.rods_mm = 0.1;
        Flags& flags = *m.read(id).flags_mm;
        std::swap(flags.front_mm, flags.rear_mm);
        const Contradictions is = found(m);
        CHECK(is.slips.front().kind == SlipKind::flags_exchanged);
        CHECK(is.at == std::string(corner_names[index(id)]) + ".flags_mm");
        CHECK(said({is.doubt}, "are exchanged"));
    }
}

TEST_CASE("a sheet of another day is named where rods are known well") {
    Morning m = exact_morning();
    m.car.known.rods_mm = 0.1;
    m.thread(CornerId::front_left, "track rod").now_turns += 0.5;
    m.thread(CornerId::rear_right, "toe link").now_turns -= 0.5;
    const Contradictions is = found(m);
    CHECK(is.slips.front().kind == SlipKind::settings);
    CHECK(is.at.empty());
    CHECK(said({is.doubt}, "not set or loaded as settings"));
}

TEST_CASE("how far out flags stand that no file knows is not compared, but left and right are") {
    Morning m = exact_morning();
    for (Corner& corner : m.car.corners) corner.wheel.flags_out_mm.reset();
    for (CornerReadings& read : m.readings.corners) {
        read.flags_mm->front_mm += 30.0;
        read.flags_mm->rear_mm += 30.0;
    }
    CHECK(found(m).chi_square < 0.1);
    m.readings.corners[0].flags_mm->front_mm += 10.0;
    m.readings.corners[0].flags_mm->rear_mm += 10.0;
    CHECK(found(m).chi_square > 50.0);
}

TEST_CASE("without strings read the flags' mean is not compared") {
    Morning m = exact_morning();
    m.readings.front_bar_mm.reset();
    m.readings.rear_bar_mm.reset();
    CHECK(found(m).degrees == 16);
    for (CornerReadings& read : m.readings.corners) {
        read.flags_mm->front_mm += 30.0;
        read.flags_mm->rear_mm += 30.0;
    }
    CHECK(found(m).chi_square < 1e-6);
}

TEST_CASE("of a sheet of which nothing was read, and of a car that does not stand, nothing is said") {
    Morning m = wren_morning();
    m.car.mass.total_kg = 3000.0;
    CHECK_FALSE(contradictions(wren_morning().measured(), m.car).has_value());
    Morning empty = wren_morning();
    empty.readings.ride_heights_mm.clear();
    for (CornerReadings& read : empty.readings.corners) read = {};
    CHECK_FALSE(contradictions(empty.measured(), empty.car).has_value());
}

TEST_CASE("on solid struts scales tell nothing and are not compared") {
    Morning m = exact_morning();
    m.readings.struts_solid = true;
    CHECK(found(m).degrees == 16);
    m.readings.corners[1].scale_kg = 300.0;
    const double heavy = found(m).chi_square;
    m.readings.corners[1].scale_kg = 100.0;
    CHECK_NEAR(found(m).chi_square, heavy, 1e-9);
}

TEST_CASE("instruments without error and a car that is known as no car can be give numbers or nothing, never NaN") {
    for (const double resolution : {5e-324, 1e-300, 1e-9, 0.1})
        for (const double rods_mm : {0.0, 5e-324, 1e-9, 1e6, 1e12})
            for (const double others : {0.0, 1.0, 1e12}) {
                INFO("resolution " << resolution << ", rods " << rods_mm << ", others " << others);
                Morning m = wren_morning();
                m.car.settling = {};
                m.car.instruments = {};
                m.car.instruments.flag_ruler.resolution_mm = resolution;
                m.car.instruments.camber_gauge.resolution_deg = resolution;
                m.car.instruments.height_gauge.resolution_mm = resolution;
                m.car.instruments.scale.resolution_kg = resolution;
                m.car.known = {others, others, others, others, others, rods_mm, rods_mm, rods_mm};
                const auto is = contradictions(m.measured(), m.car);
                if (!is) continue;
                CHECK(std::isfinite(is->chi_square));
                CHECK(is->doubt.find("nan") == std::string::npos);
                double all = 0.0;
                for (const Slip& slip : is->slips) {
                    all += slip.chance;
                    CHECK(std::isfinite(slip.odds));
                    CHECK(std::isfinite(slip.amount));
                }
                CHECK_NEAR(all, 1.0, 1e-9);
            }
}
