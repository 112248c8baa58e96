#include "shimwise/workshop/measure/baseline.hpp"

#include "catch.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

Source as_source(const Baseline& baseline) { return {"b.toml", baseline_text(baseline), true}; }

Baseline wren_baseline(const std::string& replaces = "") {
    const Morning m = wren_morning();
    return accepted(m.readings, m.car, "invented", replaces);
}

}  // namespace

TEST_CASE("a baseline that is written and read is the same, bit for bit") {
    const Baseline b = wren_baseline("0123456789abcdef");
    const Baseline again = baseline_from(as_source(b));
    CHECK(baseline_text(again) == baseline_text(b));
    REQUIRE(again.values.size() == b.values.size());
    for (std::size_t i = 0; i < b.values.size(); ++i) {
        CHECK(again.values[i].value == b.values[i].value);
        CHECK(again.values[i].u == b.values[i].u);
        CHECK(again.values[i].derived == b.values[i].derived);
    }
    for (Eigen::Index i = 0; i < b.covariance.rows(); ++i)
        for (Eigen::Index j = 0; j <= i; ++j) CHECK(again.covariance(i, j) == b.covariance(i, j));
    CHECK(again.sheet == b.sheet);
    CHECK(again.settings.turns == b.settings.turns);
    CHECK(again.lengths_mm == b.lengths_mm);
    CHECK(again.replaces == "0123456789abcdef");
    CHECK(again.origin.digest == origin_of(baseline_text(b)).digest);
}

TEST_CASE("read for its car it gives the sheet and the car as they were") {
    const Morning m = wren_morning();
    const Baseline b = baseline_from(as_source(wren_baseline()), m.car);
    const Measured then = reduce(readings_of(b, m.car), as_accepted(b, m.car));
    CHECK((then.values.value - m.measured().values.value).norm() == 0.0);
    CHECK(baseline_notes(b, m.car).empty());
    Car other = m.car;
    other.origin.digest += 1;
    CHECK(said(baseline_notes(b, other), "the car file has changed since this was accepted"));
}

TEST_CASE("one letter changed anywhere breaks the seal") {
    const std::string text = baseline_text(wren_baseline());
    for (std::size_t at = text.find("reason"); at < text.size(); at += 397) {
        std::string changed = text;
        changed[at] = changed[at] == 'x' ? 'y' : 'x';
        CHECK_THROWS_AS(baseline_from({"b.toml", changed, true}), InputError);
    }
}

TEST_CASE("only a file that says so is a baseline") {
    CHECK(is_baseline(as_source(wren_baseline())));
    CHECK(is_baseline({"", "# seen\nformat = \"shimwise-baseline/7\"\n", true}));
    CHECK_FALSE(is_baseline({"", "format = \"shimwise-car/1\"\nname = \"format = shimwise-baseline/1\"\n", true}));
}
