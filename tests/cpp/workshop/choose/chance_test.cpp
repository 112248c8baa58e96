#include "shimwise/workshop/choose/chance.hpp"

#include <cmath>
#include <limits>

#include "catch.hpp"

using namespace shimwise;

namespace {

/// A plan by its chances and minutes alone.
Which chosen(double nothing, double closest, double least_work, double minutes, double least_minutes) {
    Plan plan;
    plan.closest.minutes = minutes;
    plan.least_work.emplace().minutes = least_minutes;
    return default_choice(plan, {{nothing, 0.0}, {closest, 0.0}, BoxProbability{least_work, 0.0}});
}

/// One value, wanted at 0 within 1, that is predicted at `off` and scatters by `deviation`.
NextReading one_value(double off, double deviation) {
    const auto one = [](double value) { return Eigen::VectorXd::Constant(1, value); };
    NextReading next;
    next.predicted = one(off);
    next.lower = one(-1.0);
    next.upper = one(1.0);
    next.covariance = one(deviation * deviation);
    return next;
}

}  // namespace

TEST_CASE("least work is the default where it is near enough to the closest plan's chance, and no farther") {
    CHECK(chosen(0.0, 0.95, 0.9001, 60.0, 30.0) == Which::least_work);
    CHECK(chosen(0.0, 0.95, 0.8999, 60.0, 30.0) == Which::closest);
    CHECK(chosen(0.0, 0.5, 0.4501, 60.0, 30.0) == Which::least_work);
    CHECK(chosen(0.0, 0.5, 0.4499, 60.0, 30.0) == Which::closest);
    CHECK(chosen(0.0, 0.5, 0.9, 60.0, 30.0) == Which::least_work);
}

TEST_CASE("least work is the default only where it saves work") {
    CHECK(chosen(0.0, 0.9, 0.9, 60.0, 59.0) == Which::least_work);
    CHECK(chosen(0.0, 0.9, 0.9, 60.0, 60.0) == Which::closest);
    CHECK(chosen(0.0, 0.9, 0.9, 60.0, 61.0) == Which::closest);
}

TEST_CASE("the default is to touch nothing where no turn makes passing likelier") {
    CHECK(chosen(0.9, 0.9, 0.89, 60.0, 30.0) == Which::nothing);
    CHECK(chosen(0.9, 0.89, 0.9, 60.0, 30.0) == Which::nothing);
    CHECK(chosen(0.9, 0.9001, 0.89, 60.0, 30.0) == Which::least_work);
    CHECK(chosen(0.9, 0.89, 0.9001, 60.0, 60.0) == Which::closest);
}

TEST_CASE("a plan without a choice of least work has two choices") {
    Plan plan;
    plan.nothing.next = one_value(1.0, 0.5);
    plan.closest.next = one_value(0.1, 0.5);
    plan.closest.minutes = 10.0;
    const Chances found = chances(plan);
    CHECK(!found.least_work);
    CHECK(default_choice(plan) == Which::closest);
    std::swap(plan.nothing, plan.closest);
    CHECK(default_choice(plan) == Which::nothing);
}

TEST_CASE("the chance of every choice is that of its own next reading") {
    const auto below = [](double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); };
    Plan plan;
    plan.nothing.next = one_value(1.0, 0.5);
    plan.closest.next = one_value(0.0, 0.5);
    plan.closest.minutes = 10.0;
    plan.least_work.emplace().next = one_value(0.2, 0.5);
    plan.least_work->minutes = 5.0;
    const Chances found = chances(plan);
    CHECK_NEAR(found.nothing.value, 0.5 - below(-4.0), 1e-14);
    CHECK_NEAR(found.closest.value, 1.0 - 2.0 * below(-2.0), 1e-14);
    CHECK_NEAR(found.least_work->value, below(1.6) - below(-2.4), 1e-14);
    CHECK(default_choice(plan) == Which::least_work);  // 0.946 beside 0.954
    plan.least_work->next.lower.setConstant(-std::numeric_limits<double>::infinity());
    CHECK_NEAR(chance(plan.least_work->next).value, below(1.6), 1e-14);
}
