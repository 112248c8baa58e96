#include "shimwise/workshop/measure/differences.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr auto fl = CornerId::front_left;

Morning without_check() {
    Morning m = wren_morning();
    m.readings.gauge_check_deg.reset();
    m.readings.gauge_checks.clear();
    return m;
}

const Difference& of(const Differences& all, const ValueId& id) {
    return *std::ranges::find(all.values, id, &Difference::id);
}

double u_of(const Morning& old, const Morning& now, const ValueId& id) {
    return of(differences(old.measured(), now.measured(), old.car), id).u;
}

/// Another week: nothing that is read once for a day is shared.
Morning later(Morning m) {
    m.readings.at = "2026-05-09";
    return m;
}

}  // namespace

TEST_CASE("with one set of instruments the difference of two sheets is what comes anew, twice") {
    const Morning m = without_check();
    const Measured measured = m.measured();
    const Differences all = differences(measured, later(m).measured(), m.car);
    REQUIRE(all.values.size() == measured.quantities.size());
    for (std::size_t i = 0; i < all.values.size(); ++i) {
        const auto at = static_cast<Eigen::Index>(i);
        if (info(all.values[i].id).kind != ValueKind::alignment) continue;
        const ValueId& id = all.values[i].id;  // camber: the pads were read anew, and plumb follows from them
        if (id.is(Output::camber) || (sums_wheels(info(id)) && info(id).sum_of == Output::camber)) continue;
        CHECK_NEAR(all.values[i].u, std::sqrt(2.0 * measured.repeat_covariance(at, at)), 1e-12);
    }
    CHECK(all.shared == std::vector<std::string>{"the strings", "the camber gauge", "the scales"});
    CHECK(all.apart.empty());
}

TEST_CASE("with other instruments the variances of both sheets add up whole") {
    const Morning m = without_check();
    Morning other = later(m);
    other.readings.instruments = {"B", "B", "B"};
    const Measured measured = m.measured();
    const Differences all = differences(measured, other.measured(), m.car);
    CHECK_NEAR((all.covariance - 2.0 * measured.values.covariance).norm(), 0.0,
               1e-12 * measured.values.covariance.norm());
    CHECK(all.shared.empty());
    REQUIRE(all.apart.size() == 3);
    CHECK(all.apart[1] == "the camber gauge (not named, then \"B\")");
}

TEST_CASE("a check of the gauge and pads are shared where one sheet is of the same day and place") {
    const Morning m = wren_morning();
    const ValueId camber(fl, Output::camber);
    const Measured measured = m.measured();
    const auto at = static_cast<Eigen::Index>(*measured.find(camber));
    CHECK_NEAR(u_of(m, m, camber), std::sqrt(2.0 * measured.repeat_covariance(at, at)), 1e-12);
    CHECK(u_of(m, later(m), camber) > 1.1 * u_of(m, m, camber));
    Morning elsewhere = m;
    elsewhere.readings.place = "paddock";
    CHECK(u_of(m, elsewhere, camber) > 1.1 * u_of(m, m, camber));
    Morning undated = m;
    undated.readings.at.clear();
    CHECK(u_of(undated, undated, camber) > 1.1 * u_of(m, m, camber));
    Morning checked_later = m;
    checked_later.readings.gauge_checks[0].at = "2026-05-02T12:00:00Z";
    CHECK(u_of(m, checked_later, camber) > 1.1 * u_of(m, m, camber));
    CHECK(said(differences(m.measured(), later(m).measured(), m.car).apart,
               "the camber gauge (its zero was checked anew)"));
}

TEST_CASE("strings on stands are set anew for another visit, strings on the car are not") {
    Morning m = without_check();
    const ValueId toe(fl, Output::toe);
    CHECK_NEAR(u_of(m, later(m), toe), u_of(m, m, toe), 1e-15);
    m.car.strings.on_car = false;
    CHECK(u_of(m, later(m), toe) > 1.1 * u_of(m, m, toe));
    CHECK(said(differences(m.measured(), later(m).measured(), m.car).apart, "the strings (on stands, set anew)"));
}

TEST_CASE("change or noise, inside the tolerance or not, and what one sheet lacks is named") {
    const Morning m = without_check();
    Morning now = later(m);
    const double by = 0.3;
    now.read(fl).camber_deg->facing += by;
    now.read(CornerId::rear_left).scale_kg.reset();
    const Differences all = differences(m.measured(), now.measured(), m.car);
    const Difference& camber = of(all, {fl, Output::camber});
    CHECK_NEAR(camber.by, by, 1e-3);
    CHECK(camber.changed);
    CHECK(camber.within == false);
    const Difference& other = of(all, {CornerId::front_right, Output::camber});
    CHECK(other.by == 0.0);
    CHECK_FALSE(other.changed);
    CHECK(other.within == true);
    CHECK(std::ranges::find(all.only_old, ValueId(CornerId::rear_left, CornerLoad::weight)) != all.only_old.end());
    CHECK(all.only_new.empty());
    CHECK(differences(now.measured(), m.measured(), m.car).only_new.size() == all.only_old.size());
}
