#include "shimwise/workshop/choose/restore.hpp"

#include <set>

#include "catch.hpp"
#include "shimwise/workshop/choose/plan.hpp"
#include "shimwise/workshop/measure/differences.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

constexpr auto fl = CornerId::front_left, fr = CornerId::front_right, rl = CornerId::rear_left;

Restored back_from(const Morning& now) {
    const Morning then = wren_morning();
    return restore(now.car, accepted(then.readings, then.car, "invented", ""));
}

}  // namespace

TEST_CASE("restored, every setting is as it was, and no shim is made or lost") {
    Morning m = wren_morning();
    const Settings then = settings_of(m.car);
    m.thread(fl, "track rod").now_turns = 0.5;
    m.thread(rl, "toe link").now_turns = -0.25;
    m.stack(fl, "camber shim").fitted_mm = {2.0};  // the other millimetre is in the box
    m.car.boxes_mm["front"].push_back(1.0);
    const Restored back = back_from(m);
    REQUIRE(back.lines.size() == 3);
    CHECK(back.lines[0].key == "front_left.camber shim");
    CHECK(back.lines[1].key == "rear_left.toe link");  // rear before front
    CHECK(back.lines[2].before == 0.5);
    CHECK(back.lines[2].after == 0.0);
    CHECK(back.settings.turns == then.turns);
    CHECK(back.not_made.empty());
    CHECK(back.minutes == back.lines[0].minutes + back.lines[1].minutes + back.lines[2].minutes);
    std::size_t before = m.car.boxes_mm["front"].size(), after = back.settings.box_mm.at("front").size();
    for (const CornerId id : {fl, fr}) {
        before += m.stack(id, "camber shim").fitted_mm.size();
        after += back.settings.shims_mm.at(std::string(corner_names[index(id)]) + ".camber shim").size();
    }
    CHECK(after == before);
}

TEST_CASE("what was accepted is wanted again, within common tolerances, and its age is said") {
    Morning m = wren_morning();
    const Baseline baseline = accepted(m.readings, m.car, "came off like this", "");
    const Measured then = m.measured();
    m.readings.at = "2026-05-08T17:40:00Z";
    const Targets wanted = targets_of(baseline, m.measured(), m.car);
    CHECK(wanted.said ==
          "Wanted is how it was accepted at barn plate on 2026-05-02, 6 days before it was read: came off "
          "like this.");
    std::set<std::string> names;
    for (const auto& [id, target] : wanted.values) {
        INFO(key(id));
        names.insert(std::string(info(id).name));
        CHECK_NEAR(*target.value, *then.value(id), 1e-12);
        CHECK(target.tolerance == *common_tolerance(id, m.car));
        CHECK(target.tolerance_is_common_practice);
        CHECK((!target.least && !target.most));
    }
    CHECK(names == std::set<std::string>{"toe", "camber", "ride_height", "front_difference", "rear_difference"});
    CHECK(wanted.values.size() == 4 + 4 + 4 + 2);
    // As it was accepted it needs no turn.
    const Plan again = plan(m.car, m.measured(), wanted);
    CHECK((again.nothing.within && !again.closest.touches));
    CHECK(again.notes.front() == wanted.said);
    m.readings.at = "";
    CHECK(said({targets_of(baseline, m.measured(), m.car).said}, "on 2026-05-02: came off like this."));
}

TEST_CASE("of packs that are not all made the first in working order is, and the others are said") {
    Morning m = wren_morning();
    m.stack(fl, "camber shim").fitted_mm = m.stack(fr, "camber shim").fitted_mm = {2.0};
    m.car.boxes_mm["front"] = {1.0};
    const Restored back = back_from(m);
    REQUIRE(back.lines.size() == 1);
    CHECK(back.lines[0].key == "front_left.camber shim");
    REQUIRE(back.not_made.size() == 1);
    CHECK(said(back.not_made, "front_right.camber shim", "shares its box", "it stays at 2.0 mm"));
    m.car.boxes_mm["front"] = {};
    CHECK(said(back_from(m).not_made, "front_left.camber shim", "no shims at hand make 3.0 mm"));
}
