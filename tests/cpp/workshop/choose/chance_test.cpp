#include "shimwise/workshop/choose/chance.hpp"

#include <cmath>
#include <limits>

#include <Eigen/Eigenvalues>

#include "catch.hpp"
#include "workshop/choose/plan_cases.hpp"

using namespace shimwise;

namespace {

/// One value, wanted at 0 within 1, that is predicted at `off` and scatters by `deviation`.
NextReading one_value(double off, double deviation) {
    const auto one = [](double value) { return Eigen::VectorXd::Constant(1, value); };
    NextReading next;
    next.predicted = one(off);
    next.lower = one(-1.0);
    next.upper = one(1.0);
    next.off = one(off);
    next.tolerance = one(1.0);
    next.covariance = one(deviation * deviation);
    return next;
}

Choice choice_of(double off, double minutes, double deviation = 0.5) {
    Choice choice;
    choice.next = one_value(off, deviation);
    choice.cost = off * off;
    choice.minutes = minutes;
    choice.touches = minutes > 0.0;
    return choice;
}

/// A plan by its chances and minutes alone, its costs far apart.
Which chosen(double nothing, double closest, double least_work, double minutes, double least_minutes) {
    Plan plan;
    plan.nothing = choice_of(5.0, 0.0);
    plan.closest = choice_of(0.0, minutes);
    plan.least_work = choice_of(0.1, least_minutes);
    return default_choice(plan, {{nothing, 0.0}, {closest, 0.0}, BoxProbability{least_work, 0.0}});
}

/// Nothing makes passing likelier; the costs are these, and every value scatters by half a tolerance.
Which by_cost(double nothing, double closest) {
    Plan plan;
    plan.nothing = choice_of(std::sqrt(nothing), 0.0);
    plan.closest = choice_of(std::sqrt(closest), 10.0);
    return default_choice(plan, {{0.0, 0.0}, {0.0, 0.0}, std::nullopt});
}

double below(double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); }

}  // namespace

TEST_CASE("less work is near enough at 0.05 less, and at a tenth less of a small chance") {
    CHECK_NEAR(near_enough(0.95), 0.90, 1e-15);
    CHECK_NEAR(near_enough(0.5), 0.45, 1e-15);
    CHECK_NEAR(near_enough(0.02), 0.018, 1e-15);
    CHECK_NEAR(near_enough(0.0), 0.0, 0.0);
}

TEST_CASE("least work is the default where it is near enough to the closest plan's chance, and no farther") {
    CHECK(chosen(0.0, 0.95, 0.9001, 60.0, 30.0) == Which::least_work);
    CHECK(chosen(0.0, 0.95, 0.8999, 60.0, 30.0) == Which::closest);
    CHECK(chosen(0.0, 0.2, 0.1801, 60.0, 30.0) == Which::least_work);
    CHECK(chosen(0.0, 0.2, 0.1799, 60.0, 30.0) == Which::closest);
    CHECK(chosen(0.0, 0.5, 0.9, 60.0, 30.0) == Which::least_work);
}

TEST_CASE("least work is the default only where it saves work") {
    CHECK(chosen(0.0, 0.9, 0.9, 60.0, 59.0) == Which::least_work);
    CHECK(chosen(0.0, 0.9, 0.9, 60.0, 60.0) == Which::closest);
    CHECK(chosen(0.0, 0.9, 0.9, 60.0, 61.0) == Which::closest);
}

TEST_CASE("touch nothing only where no plan makes passing likelier and none is nearer than the next reading can tell") {
    CHECK(by_cost(5.0, 4.0) == Which::closest);  // far out, and still brought nearer
    CHECK(by_cost(5.0, 4.74) == Which::closest);
    CHECK(by_cost(5.0, 4.76) == Which::nothing);  // half a tolerance squared is 0.25
    CHECK(by_cost(4.0, 4.0) == Which::nothing);
    Plan plan;
    plan.nothing = choice_of(0.3, 0.0);
    plan.closest = choice_of(0.2, 10.0);
    CHECK(default_choice(plan, {{0.90, 0.0}, {0.91, 0.0}, std::nullopt}) == Which::closest);
    CHECK(default_choice(plan, {{0.91, 0.0}, {0.91, 0.0}, std::nullopt}) == Which::nothing);
    CHECK(default_choice(plan, {{0.91, 0.0}, {0.90, 0.0}, std::nullopt}) == Which::nothing);
}

TEST_CASE("a car that is far out and cannot be brought in is brought nearer") {
    Morning m = wren_morning();
    for (const CornerId id : all_corners) m.thread(id, toe_rod(id)).limits_turns = {-0.05, 0.05};
    for (CornerReadings& corner : m.readings.corners) corner.flags_mm->front_mm += 6.0;
    const Plan got = plan_of(m);
    CHECK_FALSE(got.closest.within);
    CHECK(got.closest.cost < got.nothing.cost - 10.0);
    CHECK(default_choice(got) == Which::closest);
}

TEST_CASE("the chance of every choice is that of its own next reading") {
    Plan plan;
    plan.nothing = choice_of(1.0, 0.0);
    plan.closest = choice_of(0.0, 10.0);
    plan.least_work = choice_of(0.2, 5.0);
    const Chances found = chances(plan);
    CHECK_NEAR(found.nothing.value, 0.5 - below(-4.0), 1e-14);
    CHECK_NEAR(found.closest.value, 1.0 - 2.0 * below(-2.0), 1e-14);
    CHECK_NEAR(found.least_work->value, below(1.6) - below(-2.4), 1e-14);
    CHECK(default_choice(plan) == Which::least_work);  // 0.946 beside 0.954
    plan.least_work->next.lower.setConstant(-std::numeric_limits<double>::infinity());
    CHECK_NEAR(chance(plan.least_work->next).value, below(1.6), 1e-14);
    plan.least_work.reset();
    CHECK(!chances(plan).least_work);
    CHECK(default_choice(plan) == Which::closest);
    std::swap(plan.nothing.next, plan.closest.next);
    std::swap(plan.nothing.cost, plan.closest.cost);
    CHECK(default_choice(plan) == Which::nothing);
}

TEST_CASE("the demonstration's chance is that of its normal values drawn") {
    const NextReading next = plan_of(wren_morning()).closest.next;
    const auto n = next.predicted.size();
    // Eigen's square root of a covariance that may be singular; Box and Muller's normals.
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(next.covariance);
    const Eigen::MatrixXd root = parts.eigenvectors() * parts.eigenvalues().cwiseMax(0.0).cwiseSqrt().asDiagonal();
    std::mt19937 random(3);
    const auto uniform = [&random] { return (static_cast<double>(random()) + 0.5) / 4294967296.0; };
    const int draws = 40'000;
    int inside = 0;
    for (int i = 0; i < draws; ++i) {
        Eigen::VectorXd z(n);
        for (Eigen::Index k = 0; k < n; ++k)
            z(k) = std::sqrt(-2.0 * std::log(uniform())) * std::cos(6.283185307179586 * uniform());
        const Eigen::VectorXd read = next.predicted + root * z;
        inside += ((read - next.lower).array() >= 0.0).all() && ((next.upper - read).array() >= 0.0).all() ? 1 : 0;
    }
    const double p = chance(next).value;
    CHECK_NEAR(static_cast<double>(inside) / draws, p, 4.0 * std::sqrt(p * (1.0 - p) / draws) + 1e-4);
}

TEST_CASE("the reading worth taking again is the one of all that would make passing likeliest") {
    const Plan got = plan_of(wren_morning());
    const Measured& measured = got.measured;
    const auto two = worth_reading_again(got, Which::closest);
    REQUIRE(two);
    const NextReading& next = got.closest.next;
    const auto n = next.predicted.size();
    double best = 0.0, of_told = 0.0;
    for (std::size_t q = 0; q < measured.quantities.size(); ++q) {
        if (measured.quantities[q].derived) continue;
        // The difference of the two readings of q: what is known of the first one's error makes the rest certain so
        // far.
        Eigen::MatrixXd joint(n + 1, n + 1);
        joint.topLeftCorner(n, n) = next.covariance;
        const auto at = static_cast<Eigen::Index>(q);
        for (Eigen::Index i = 0; i < n; ++i) {
            const auto row = static_cast<Eigen::Index>(*measured.find(next.ids[static_cast<std::size_t>(i)]));
            joint(i, n) = joint(n, i) = -measured.repeat_covariance(row, at);
        }
        joint(n, n) = 2.0 * measured.repeat_covariance(at, at);
        NextReading known = next;
        known.covariance =
            joint.topLeftCorner(n, n) - joint.topRightCorner(n, 1) * joint.bottomLeftCorner(1, n) / joint(n, n);
        const double then = chance(known).value;
        best = std::max(best, then);
        if (measured.quantities[q].id == two->id) of_told = then;
    }
    CHECK_NEAR(two->chance, best, 2e-3);
    CHECK_NEAR(of_told, best, 2e-3);
    CHECK(two->chance > chance(next).value);
    CHECK(!worth_reading_again(Plan{}, Which::closest));
}
