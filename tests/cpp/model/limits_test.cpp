#include "shimwise/model/limits.hpp"

#include <cmath>

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;

namespace {

Car wren() { return load_car(testing::demo_path("wren.toml")); }

Adjuster& track_rod(Car& car) {
    Corner& corner = car[CornerId::front_left];
    return corner.adjusters[*corner.find("track rod")];
}

}  // namespace

TEST_CASE("a rod's length is the distance of its eyes, and grows by what is turned") {
    Car car = wren();
    const Corner& corner = car[CornerId::front_left];
    const Vec3<double> rod = corner.at(Point::track_rod_outer) - corner.at(Point::track_rod_inner);
    CHECK_NEAR(*drawn_length_mm(car, CornerId::front_left, Length::track_rod), std::sqrt(squared(rod)), 1e-12);
    const double before_mm = *present_length_mm(car, CornerId::front_left, Length::track_rod);
    Thread& thread = std::get<Thread>(track_rod(car).setting);
    thread.now_turns += 1.5;
    CHECK_NEAR(*present_length_mm(car, CornerId::front_left, Length::track_rod), before_mm + 1.5 * thread.lead_mm(),
               1e-12);
    CHECK_NEAR(present_setting(track_rod(car)), thread.now_turns, 0.0);
}

TEST_CASE("threads lose engagement as a rod gets longer, each end its own share") {
    Thread thread;
    thread.pitch_mm = 1.25;
    thread.engaged_mm = {18.0, 16.0};
    thread.ends = Ends::left_and_right;
    CHECK(engaged_mm(thread, 2.0) == std::pair{18.0 - 2.5, 16.0 - 2.5});
    thread.ends = Ends::one;
    CHECK(engaged_mm(thread, 2.0).first == 18.0 - 2.5);
    thread.ends = Ends::same_hand;
    thread.second_pitch_mm = 1.0;
    const auto [outer_mm, inner_mm] = engaged_mm(thread, 2.0);
    CHECK(outer_mm > 18.0);
    CHECK(inner_mm < 16.0);
    CHECK_NEAR(18.0 + 16.0 - outer_mm - inner_mm, 2.0 * thread.lead_mm(), 1e-12);  // what they lose is what it gains
}

TEST_CASE("a setting beyond a limit is named by the key that states it") {
    Car car = wren();
    Adjuster& adjuster = track_rod(car);
    Thread& thread = std::get<Thread>(adjuster.setting);
    thread.limits_turns = {-2.0, 2.0};
    thread.length_limits_mm.reset();
    thread.engaged_mm.reset();
    CHECK_FALSE(broken_limit(car, CornerId::front_left, adjuster, 2.0).has_value());
    const auto beyond = broken_limit(car, CornerId::front_left, adjuster, 2.1);
    REQUIRE(beyond.has_value());
    CHECK(beyond->key == "limits_turns");
    CHECK_FALSE(beyond->rule.empty());
}
