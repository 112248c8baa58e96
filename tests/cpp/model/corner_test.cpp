#include "shimwise/model/corner.hpp"

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;

TEST_CASE("a corner knows its points, what carries them and its adjusters") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const Corner& corner = car[CornerId::front_left];
    CHECK(corner.has_rocker());
    CHECK(corner.carrier(Point::upper_wishbone_front) == Body::chassis);
    CHECK(corner.carrier(Point::upper_wishbone_outer) == Body::upright);
    CHECK(corner.carrier(Point::track_rod_inner) == Body::rack);
    CHECK(car[CornerId::rear_left].carrier(Point::track_rod_inner) == Body::chassis);
    CHECK(corner.carrier(Point::pushrod_outer) == corner.pushrod_outer_on);
    CHECK(corner.carrier(Point::pushrod_inner) == Body::rocker);
    for (std::size_t p = 0, named = 0; p < point_count; ++p)
        if (corner.has(static_cast<Point>(p))) CHECK(corner.point_names()[named++] == point_names[p]);
    const std::vector<double> amounts_mm = corner.amounts_mm();
    REQUIRE(amounts_mm.size() == corner.adjusters.size());
    for (std::size_t a = 0; a < amounts_mm.size(); ++a) {
        const Adjuster& adjuster = corner.adjusters[a];
        INFO(adjuster.name);
        CHECK(corner.find(adjuster.name) == a);
        CHECK_NEAR(amounts_mm[a], adjuster.amount_mm(), 0.0);
    }
    CHECK_FALSE(corner.find("no such adjuster").has_value());
}
