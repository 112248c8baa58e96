#include "shimwise/motion/point_errors.hpp"

#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/moved_points.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/motion/sweep.hpp"

using namespace shimwise;

namespace {

/// Every number of an error, bump last.
std::vector<double> numbers(const PointError& error) {
    std::vector<double> all;
    for (const ToeAndCamber& one : error.of_adjusters) all.insert(all.end(), {one.toe_deg, one.camber_deg});
    all.insert(all.end(), {error.of_bump.toe_deg, error.of_bump.camber_deg});
    return all;
}

}  // namespace

TEST_CASE("every coordinate of every point that a corner has stands once, in order") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    for (const Corner& corner : car.corners) {
        const std::vector<PointError> errors = point_errors(car, corner.id);
        const std::vector<std::string> names = corner.point_names();
        REQUIRE(errors.size() == 3 * names.size());
        for (std::size_t i = 0; i < errors.size(); ++i) {
            CHECK(point_names[index(errors[i].point)] == names[i / 3]);
            CHECK(errors[i].axis == i % 3);
            CHECK(errors[i].of_adjusters.size() == corner.adjusters.size());
        }
    }
}

TEST_CASE("points that are all off by the same do no harm: their errors add up to nothing") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    for (const Held held : {Held::contact, Held::wheel, Held::spring})
        for (const CornerId id : {CornerId::front_left, CornerId::rear_right}) {
            const double error_mm = 1e-3;
            const std::vector<PointError> errors = point_errors(car, id, held, error_mm);
            for (std::size_t axis = 0; axis < 3; ++axis) {
                std::vector<double> sum(numbers(errors[0]).size()), size(sum.size());
                for (const PointError& error : errors)
                    if (error.axis == axis)
                        for (std::size_t k = 0; k < sum.size(); ++k) {
                            sum[k] += numbers(error)[k] / error_mm;
                            size[k] += std::fabs(numbers(error)[k]) / error_mm;
                        }
                for (std::size_t k = 0; k < sum.size(); ++k) CHECK_NEAR(sum[k], 0.0, 1e-6 + 1e-4 * size[k]);
                CHECK(*std::max_element(size.begin(), size.end()) > 1e-4);
            }
        }
}

TEST_CASE("an error is half of what turning does on the one wrong drawing less on the other") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const CornerId id = CornerId::front_left;
    const double error_mm = 0.5, bump_mm = 15.0, turn = 1e-4;
    const auto after = [&](double sign, std::size_t adjuster, double amount, double travel_mm) {
        const Vec3<double> by_mm = {0.0, 0.0, sign * error_mm};
        const Corner corner = with_points_moved(car, {{id, Point::track_rod_inner, by_mm}}, Moved::drawn)[id];
        Setup now = setup(corner);
        const double held = present_value(now, {.what = Held::wheel}, travel_mm);
        now.amounts_mm[adjuster] += amount;
        return outputs_at(now, {.what = Held::wheel}, held)[index(Output::toe)];
    };
    for (const PointError& error : point_errors(car, id, Held::wheel, error_mm, bump_mm)) {
        if (error.point != Point::track_rod_inner || error.axis != 2) continue;
        for (std::size_t a = 0; a < error.of_adjusters.size(); ++a) {
            const Thread* thread = car[id].adjusters[a].thread();
            const double amount_mm = turn * (thread ? thread->lead_mm() : 1.0);
            const auto effect = [&](double sign) {
                return (after(sign, a, amount_mm, 0.0) - after(sign, a, -amount_mm, 0.0)) / (2.0 * turn);
            };
            CHECK_NEAR(error.of_adjusters[a].toe_deg, (effect(1.0) - effect(-1.0)) / 2.0, 1e-7);
        }
        const auto bump = [&](double sign) { return after(sign, 0, 0.0, bump_mm) - after(sign, 0, 0.0, 0.0); };
        CHECK_NEAR(error.of_bump.toe_deg, (bump(1.0) - bump(-1.0)) / 2.0, 1e-9);
        CHECK(std::fabs(error.of_bump.toe_deg) > 1e-3);
    }
}

TEST_CASE("an error that no car could have is refused") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    CHECK_THROWS_AS(point_errors(car, CornerId::front_left, Held::contact, 1000.0), InputError);
    CHECK_THROWS_AS(point_errors(car, CornerId::front_left, Held::contact, 1.0, 1000.0), OutOfReach);
}
