#include "shimwise/workshop/measure/history.hpp"

#include <cmath>

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("days of ISO dates, with and without time and zone") {
    CHECK(days_of("1970-01-01") == 0.0);
    CHECK(days_of("2000-03-01") == 11017.0);
    CHECK_NEAR(*days_of("2000-03-01T12:00:00Z"), 11017.5, 1e-12);
    CHECK_NEAR(*days_of("2000-03-01T12:00:00+06:00"), 11017.25, 1e-12);
    CHECK_NEAR(*days_of("2000-03-01T12:00:36-06:00"), 11017.75 + 36.0 / 86400.0, 1e-12);
    CHECK_FALSE(days_of("").has_value());
    CHECK_FALSE(days_of("2000-02-30").has_value());
}

TEST_CASE("Student's distribution: its closed forms of few degrees of freedom") {
    for (const double t : {0.0, 0.3, 1.0, 4.0}) {
        CHECK_NEAR(student_within(t, 1), 2.0 / 3.14159265358979323846 * std::atan(t), 1e-14);
        CHECK_NEAR(student_within(t, 2), t / std::sqrt(2.0 + t * t), 1e-14);
        CHECK_NEAR(student_within(-t, 2), student_within(t, 2), 1e-15);
    }
}
