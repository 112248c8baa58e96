#include "shimwise/workshop/files/pad_steps.hpp"

#include <random>
#include <stdexcept>

#include "catch.hpp"

using namespace shimwise;

namespace {

constexpr auto fl = CornerId::front_left, fr = CornerId::front_right, rl = CornerId::rear_left,
               rr = CornerId::rear_right;

Eigen::VectorXd ups(const std::vector<PadStep>& steps) {
    Eigen::VectorXd up(static_cast<Eigen::Index>(steps.size()));
    for (std::size_t s = 0; s < steps.size(); ++s) up(static_cast<Eigen::Index>(s)) = steps[s].up_mm;
    return up;
}

}  // namespace

TEST_CASE("three steps without error give the heights back, whichever way they are walked") {
    const Eigen::Vector4d heights(0.3, -0.2, 0.4, -0.5);  // about their mean
    const auto up = [&](CornerId from, CornerId to) {
        return PadStep{from, to, heights(static_cast<int>(to)) - heights(static_cast<int>(from))};
    };
    for (const std::vector<PadStep>& steps :
         {std::vector{up(fl, fr), up(fr, rr), up(rr, rl)}, std::vector{up(rl, fl), up(fl, fr), up(rr, fl)},
          std::vector{up(fl, fr), up(fr, rr), up(rr, rl), up(rl, fl), up(fl, rr), up(rl, fr)}}) {
        REQUIRE(pads_not_reached(steps).empty());
        CHECK_NEAR((pads_by_steps(steps) * ups(steps) - heights).norm(), 0.0, 1e-14);
        for (const PadLoop& loop : pad_loops(steps)) CHECK_NEAR(loop.by_steps.dot(ups(steps)), 0.0, 1e-15);
    }
}

TEST_CASE("a ring that does not close is shared out evenly over its four steps") {
    const std::vector<PadStep> ring = {{fl, fr, 0.1}, {fr, rr, 0.0}, {rr, rl, 0.0}, {rl, fl, 0.0}};
    const Eigen::VectorXd heights = pads_by_steps(ring) * ups(ring);
    // Each step is 0.025 mm smaller than it was read: 0.075, -0.025, -0.025, -0.025.
    CHECK_NEAR(heights(1) - heights(0), 0.075, 1e-15);
    CHECK_NEAR(heights(3) - heights(1), -0.025, 1e-15);
    CHECK_NEAR(heights(2) - heights(3), -0.025, 1e-15);
    CHECK_NEAR(heights.sum(), 0.0, 1e-15);
    const std::vector<PadLoop> loops = pad_loops(ring);
    REQUIRE(loops.size() == 1);
    CHECK_NEAR(std::abs(loops[0].by_steps.dot(ups(ring))), 0.1, 1e-15);
    CHECK(loops[0].pads.size() == 4);
}

TEST_CASE("what remains of the steps is square to every change of the heights: least squares") {
    std::mt19937 random(5);
    std::normal_distribution<double> normal;
    std::vector<PadStep> steps = {{fl, fr}, {rl, fr}, {rr, rl}, {fl, rr}, {rr, fr}, {rl, fl}};
    for (int draw = 0; draw < 20; ++draw) {
        for (PadStep& step : steps) step.up_mm = normal(random);
        const Eigen::VectorXd heights = pads_by_steps(steps) * ups(steps);
        Eigen::Vector4d pull = Eigen::Vector4d::Zero();
        for (const PadStep& step : steps) {
            const auto from = static_cast<int>(step.from), to = static_cast<int>(step.to);
            const double left = step.up_mm - (heights(to) - heights(from));
            pull(to) += left;
            pull(from) -= left;
        }
        CHECK_NEAR(pull.norm(), 0.0, 1e-14);
    }
    CHECK(pad_loops(steps).size() == 3);
}

TEST_CASE("steps that leave a pad alone say which") {
    CHECK(pads_not_reached({}) == std::vector{fr, rl, rr});
    CHECK(pads_not_reached({{fl, fr}, {rl, rr}, {rr, rl}}) == std::vector{rl, rr});
    CHECK(pads_not_reached({{fl, fr}, {fr, rl}, {rl, fl}}) == std::vector{rr});
    CHECK_THROWS_AS(pads_by_steps({{fl, fr}, {rl, rr}}), std::invalid_argument);
}
