#include "shimwise/workshop/measure/as_read.hpp"

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("a length and a pack that were read win over the car's settings, and the difference is said") {
    Morning m = wren_morning();
    const CornerId id = CornerId::front_left;
    const Thread& rod = m.thread(id, "track rod");
    const double drawn_mm = *drawn_length_mm(m.car, id, Length::track_rod);
    m.read(id).lengths_mm[Length::track_rod] = drawn_mm + 0.5 * rod.lead_mm();
    m.read(id).shims_mm["camber shim"] = {2.0};
    std::vector<std::string> notes;
    const Car read = as_read(m.car, m.readings, notes);
    const Corner& corner = read[id];
    CHECK_NEAR(corner.adjusters[*corner.find("track rod")].thread()->now_turns, 0.5, 1e-9);
    CHECK(corner.adjusters[*corner.find("camber shim")].stack()->fitted_mm == std::vector<double>{2.0});
    CHECK(said(notes, "track"));
    CHECK(said(notes, "camber shim"));
    CHECK(adjuster_key(id, "track rod") == "front_left.track rod");
}
