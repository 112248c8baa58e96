#include "shimwise/workshop/measure/compare.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/units.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("a target is met at its ends and by no number that is none") {
    Target target;
    target.value = 1.0;
    target.tolerance = 0.5;
    CHECK(meets(target, 1.5));
    CHECK_FALSE(meets(target, 1.5000001));
    CHECK_FALSE(meets(target, std::nan("")));
    target = {};
    target.least = 2.0;
    target.most = 3.0;
    CHECK(meets(target, 2.0));
    CHECK(meets(target, 3.0));
    CHECK_FALSE(meets(target, 1.9));
    CHECK_FALSE(meets(target, 3.1));
}

TEST_CASE("every measured value has its line, then what is wanted and was not measured") {
    Morning m = wren_morning();
    m.read(CornerId::rear_left).camber_deg.reset();
    const Measured measured = m.measured();
    const std::vector<Comparison> rows = compare(measured, m.targets);
    REQUIRE(rows.size() > measured.quantities.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const Comparison& row = rows[i];
        INFO(key(row.id));
        CHECK(row.measured.has_value() == (i < measured.quantities.size()));
        CHECK(row.within.has_value() == (row.measured && row.target));
        if (row.within) CHECK(*row.within == meets(*row.target, *row.measured));
        if (row.difference) CHECK_NEAR(*row.difference, *row.measured - *row.target->value, 0.0);
        const auto wanted = target_of(m.targets, row.id);
        CHECK(wanted.has_value() == row.target.has_value());
    }
}

TEST_CASE("targets that nothing read answers are listed, and a caster is not among them") {
    Morning m = wren_morning();
    m.read(CornerId::rear_left).camber_deg.reset();
    const std::vector<Comparison> rows = compare(m.measured(), m.targets);
    CHECK(unread(rows) == std::vector<ValueId>{{CornerId::rear_left, Output::camber}});
    CHECK(judged(rows) == m.targets.values.size() - 3);  // two casters are the model's
}

TEST_CASE("toe that is wanted in mm at the flags is compared in mm, too") {
    Morning m = wren_morning();
    const ValueId toe = {CornerId::front_left, Output::toe}, caster = {CornerId::front_left, Output::caster};
    const auto row = [&](const ValueId& id) {
        const std::vector<Comparison> rows = compare(m.measured(), m.targets);
        return *std::find_if(rows.begin(), rows.end(), [&](const Comparison& one) { return one.id == id; });
    };
    CHECK_FALSE(row(toe).at_flags);
    Target& target = m.targets.values.at(toe);
    target.flag_span_mm = 520.0;
    target.value = std::asin(1.0 / 520.0) * deg_per_rad;
    target.tolerance = std::asin(0.5 / 520.0) * deg_per_rad;
    target.most = std::asin(2.0 / 520.0) * deg_per_rad;
    const Comparison in_deg = row(toe);
    const AtFlags at = in_deg.at_flags.value();
    CHECK_NEAR(at.measured_mm.value(), 520.0 * std::sin(*in_deg.measured / deg_per_rad), 1e-12);
    CHECK_NEAR(at.uncertainty_mm.value(),
               520.0 * std::cos(*in_deg.measured / deg_per_rad) * *in_deg.uncertainty / deg_per_rad, 1e-12);
    CHECK_NEAR(at.value_mm.value(), 1.0, 1e-12);
    CHECK_NEAR(at.tolerance_mm, 0.5, 1e-12);
    CHECK_NEAR(at.most_mm.value(), 2.0, 1e-12);
    CHECK_FALSE(at.least_mm);
    CHECK_NEAR(at.difference_mm.value(), *at.measured_mm - 1.0, 1e-12);
    m.targets.values.at(caster).flag_span_mm = 520.0;  // never read: wanted alone
    CHECK_FALSE(row(caster).at_flags.value().measured_mm);
    CHECK_FALSE(row(caster).at_flags.value().difference_mm);
}
