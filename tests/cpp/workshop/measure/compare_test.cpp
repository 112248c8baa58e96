#include "shimwise/workshop/measure/compare.hpp"

#include <cmath>

#include "catch.hpp"
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
