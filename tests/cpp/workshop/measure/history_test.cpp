#include "shimwise/workshop/measure/history.hpp"

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("days of ISO dates, with and without time and zone") {
    CHECK(days_of("1970-01-01") == 0.0);
    CHECK(days_of("2000-03-01") == 11017.0);
    CHECK_NEAR(*days_of("2000-03-01T12:00:00Z"), 11017.5, 1e-12);
    CHECK_NEAR(*days_of("2000-03-01T12:00:00+06:00"), 11017.25, 1e-12);
    CHECK_NEAR(*days_of("2000-03-01T12:00:36-06:00"), 11017.75 + 36.0 / 86400.0, 1e-12);
    CHECK_FALSE(days_of("").has_value());
    CHECK_NEAR(*days_of("2000-03-01T12:00:36.5"), 11017.5 + 36.5 / 86400.0, 1e-12);
    CHECK_FALSE(days_of("2000-02-30").has_value());
    CHECK_FALSE(days_of("2000/02/20").has_value());
}
