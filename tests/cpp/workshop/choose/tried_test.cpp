#include "shimwise/workshop/choose/tried.hpp"

#include <cmath>
#include <limits>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

using Shims = std::vector<double>;

struct Done {
    Car after;
    std::vector<std::string> notes;

    double setting(const std::string& key) const {
        const auto place = find_adjuster(after, key).value();
        return present_setting(after[place.corner].adjusters[place.adjuster]);
    }
    Shims shims(const std::string& key) const {
        const auto place = find_adjuster(after, key).value();
        return after[place.corner].adjusters[place.adjuster].stack()->fitted_mm;
    }
};

Done done(const Car& car, const Trial& trial) {
    Done d;
    d.after = tried(car, trial, d.notes);
    return d;
}

std::string refusal(const Car& car, const Trial& trial) {
    try {
        done(car, trial);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("a trial counts from how the car stands") {
    Morning m = wren_morning();
    m.thread(CornerId::front_left, "track rod").now_turns = 0.75;
    const Done d = done(m.car, {{{"front_left.track rod", -0.5}, {"rear_right.spring platform", 0.25}},
                                {{"front_left.camber shim", 0.5}, {"rear_left.camber shim", Shims{2.0, 0.2}}}});
    CHECK_NEAR(d.setting("front_left.track rod"), 0.25, 1e-15);
    CHECK_NEAR(d.setting("rear_right.spring platform"), 0.25, 1e-15);
    CHECK(d.shims("front_left.camber shim") == Shims{2.0, 1.0, 0.5});
    CHECK(d.shims("rear_left.camber shim") == Shims{2.0, 0.2});
    CHECK(d.notes.empty());
    CHECK(d.after.boxes_mm == m.car.boxes_mm);
    Settings now = settings_of(d.after);
    for (const char* key : {"front_left.track rod", "rear_right.spring platform"})
        now.turns[key] = settings_of(m.car).turns[key];
    CHECK(now.turns == settings_of(m.car).turns);  // nothing else is turned
}

TEST_CASE("a thickness that the shims do not make is taken, and the nearest that can be made are named") {
    const Morning m = wren_morning();
    const Done d = done(m.car, {{}, {{"front_left.camber shim", 0.35}}});
    CHECK_NEAR(d.setting("front_left.camber shim"), 3.35, 1e-12);
    REQUIRE(d.notes.size() == 1);
    CHECK(d.notes[0] ==
          "front_left.camber shim: no shims at hand make 3.35 mm: 3.3 mm (2.0 + 1.0 + 0.2 + 0.1 mm) or 3.4 mm (2.0 + "
          "1.0 + 0.2 + 0.2 mm) can be made. It is taken as 3.35 mm all the same.");
    // The box holds 5.6 mm beside the fitted 3.0 mm; the limit of 6 mm comes first.
    Car poor = m.car;
    poor.boxes_mm["front"] = {0.5};
    const Done most = done(poor, {{}, {{"front_left.camber shim", 0.7}}});
    CHECK(said(most.notes, "no shims at hand make 3.7 mm: 3.5 mm (2.0 + 1.0 + 0.5 mm) can be made."));
    CHECK_NEAR(most.setting("front_left.camber shim"), 3.7, 1e-12);
}

TEST_CASE("a pack whose shims are not at hand is made from others of the same thickness") {
    const Morning m = wren_morning();
    const Done d = done(m.car, {{}, {{"front_left.camber shim", Shims{2.5}}}});
    CHECK(d.shims("front_left.camber shim") == Shims{2.0, 0.5});
    CHECK(said(d.notes, "no 2.5 mm shim is at hand", "a pack of 2.5 mm"));
}

TEST_CASE("packs of one box are made together, or said not to be") {
    Morning m = wren_morning();
    m.car.boxes_mm["front"] = {0.5};
    // Both ask for the one 0.5 mm shim.
    const Trial both = {{}, {{"front_left.camber shim", 0.5}, {"front_right.camber shim", 0.5}}};
    const Done d = done(m.car, both);
    CHECK(said(d.notes, "front_left.camber shim, front_right.camber shim", "not all at the same time"));
    CHECK_NEAR(d.setting("front_left.camber shim"), 3.5, 1e-12);
    CHECK_NEAR(d.setting("front_right.camber shim"), 3.5, 1e-12);
    // The left gives its 2.0 mm shim to the right, and takes its 1.0 mm.
    const Trial swapped = {{}, {{"front_left.camber shim", -1.0}, {"front_right.camber shim", 1.0}}};
    const Done s = done(m.car, swapped);
    CHECK(s.notes.empty());
    CHECK_NEAR(s.setting("front_left.camber shim"), 2.0, 1e-12);
    CHECK(s.shims("front_right.camber shim") == Shims{2.0, 1.0, 1.0});
    // A shim asked for by one is not there for the other.
    const Done first =
        done(m.car, {{}, {{"front_left.camber shim", Shims{2.0, 0.5}}, {"front_right.camber shim", 0.5}}});
    CHECK(first.shims("front_left.camber shim") == Shims{2.0, 0.5});
    CHECK(said(first.notes, "front_right.camber shim: no shims at hand make 3.5 mm: "));
}

TEST_CASE("a turn that does not lock is taken, and the nearest that do are named") {
    const Morning m = wren_morning();
    const Done d = done(m.car, {{{"front_left.upper front leg", -0.3}, {"front_left.pushrod", 0.013}}, {}});
    CHECK_NEAR(d.setting("front_left.upper front leg"), -0.3, 1e-15);
    REQUIRE(d.notes.size() == 1);  // a pushrod locks anywhere
    CHECK(d.notes[0] ==
          "front_left.upper front leg: 0.3 turn shorter cannot be locked; the nearest: 1 half turn shorter (0.5 turn) "
          "and as it stands.");
    CHECK(done(m.car, {{{"front_left.upper front leg", 1.5}}, {}}).notes.empty());
}

TEST_CASE("every fault of a trial is refused at once, in the words of the limits") {
    const Morning m = wren_morning();
    CHECK(refusal(m.car, {{{"front_left.track rod", 6.5}, {"front_left.trackrod", 1.0}},
                          {{"front_left.camber shim", 3.5},
                           {"front_right.camber shim", -3.1},
                           {"rear_left.toe link", 0.5},
                           {"rear_left.camber shim", Shims{2.0, -1.0}},
                           {"rear_right.camber shim", std::numeric_limits<double>::infinity()}}}) ==
          "front_left.camber shim: its limit excludes the stack of 6.5 mm: allowed are 0 to 6\n"
          "front_right.camber shim: adds up to less than nothing: -0.1 mm\n"
          "rear_left.toe link: is a thread: it is turned, not shimmed\n"
          "rear_right.camber shim: must be a finite number\n"
          "front_left.trackrod: is no adjuster of the car; did you mean \"front_left.track rod\"?\n"
          "rear_left.camber shim: a shim is thicker than 0 mm\n"
          "front_left.track rod: its limit excludes the setting of 6.5 turns: allowed are -6 to 6");
    CHECK(refusal(m.car, {{{"front_left.track rod", std::nan("")}}, {}}) ==
          "front_left.track rod: must be a finite number");
    CHECK(refusal(m.car, {{{"front_left.camber shim", 0.5}}, {}}) ==
          "front_left.camber shim: is a stack of shims: it is not turned");
}
