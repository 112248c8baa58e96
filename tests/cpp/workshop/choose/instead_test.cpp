#include "shimwise/workshop/choose/instead.hpp"

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

using Shims = std::vector<double>;

const std::string rod_key = "front_left.track rod";
const std::string pack_key = "front_left.camber shim";

/// The Wren before a card, and after it: the rod 1/4 turn longer, 0.5 mm more at the camber shim.
struct Day {
    Car before = wren_morning().car;
    Car after = refit(turned(0.25), CornerId::front_left, "camber shim", {2.0, 1.0, 0.5});
    std::vector<std::string> notes;

    Car turned(double turns) const {
        Settings settings;
        settings.car = before.name;
        settings.turns[rod_key] = turns;
        return with_settings(before, settings);
    }
    Car done(const std::string& key, const Words& words) { return done_instead(before, after, key, words, notes); }
    Shims fitted(const Words& words) { return settings_of(done(pack_key, words)).shims_mm.at(pack_key); }
    double turns(const Words& words) { return settings_of(done(rod_key, words)).turns.at(rod_key); }
};

std::string refusal(const std::string& key, const Words& words) {
    try {
        Day().done(key, words);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("what was turned instead counts from before the card, or is the setting itself") {
    Day day;
    day.before = day.turned(0.125);
    CHECK_NEAR(day.turns("+1 flat"), 0.125 + 1.0 / 6.0, 1e-12);
    CHECK_NEAR(day.turns("half a turn shorter"), -0.375, 1e-12);
    CHECK_NEAR(day.turns("=1 flat"), 1.0 / 6.0, 1e-12);
    CHECK(refusal(rod_key, "2 flats") ==
          rod_key +
              " = '2 flats': which way? Write +2 flats or -2 flats from how it stood before the card, or =2 flats "
              "from as drawn");
    CHECK(refusal("front_left.nothing", "+1 flat") == "front_left.nothing: is no adjuster of Wren");
    CHECK(day.notes.empty());
}

TEST_CASE("a turn that was done instead and does not lock is taken, and said") {
    Day day;
    const std::string leg = "front_left.upper front leg";
    CHECK_NEAR(settings_of(day.done(leg, "+1 flat")).turns.at(leg), 1.0 / 6.0, 1e-12);
    REQUIRE(day.notes.size() == 1);
    CHECK(day.notes.front() ==
          leg + ": 0.167 turn longer cannot be locked; the nearest: as it stands and 1 half turn longer (0.5 turn).");
    day.done(leg, "+1/2 turn");
    CHECK(day.notes.size() == 1);
}

TEST_CASE("a pack that was fitted instead comes out of the box, as it was said") {
    Day day;
    CHECK(day.fitted("2.0 + 0.5 mm") == Shims{2.0, 0.5});
    CHECK(day.fitted("no shim").empty());
    CHECK(day.fitted("2 mm") == Shims{2.0});
    CHECK(day.fitted("+0.2 mm") == Shims{2.0, 1.0, 0.2});  // from the 3.0 mm before the card
    CHECK(day.fitted("1 mm thinner") == Shims{2.0});
    CHECK(day.notes.empty());
    const auto box_before = day.before.boxes_mm.at("front");
    CHECK(day.done(pack_key, "2.0 + 1.0 mm").boxes_mm.at("front") == box_before);
}

TEST_CASE("a pack that no shims at hand make is written down and said") {
    Day day;
    CHECK(day.fitted("+0.35 mm") == Shims{3.35});
    CHECK(day.fitted("2.0 + 0.7 mm") == Shims{2.0, 0.7});
    CHECK(day.fitted("3.3 mm") == Shims{2.0, 1.0, 0.2, 0.1});
    REQUIRE(day.notes.size() == 3);
    CHECK(day.notes[0].find("no shims at hand make 3.35 mm: 3.3 mm (2.0 + 1.0 + 0.2 + 0.1 mm) or 3.4 mm") !=
          std::string::npos);
    CHECK(day.notes[1] == pack_key +
                              ": not all of 2.0 + 0.7 mm is in its box. It is written down as fitted; "
                              "correct the box if one of them was ground.");
    CHECK(day.notes[2] == pack_key + ": no 3.3 mm shim is at hand for it; a pack of 3.3 mm is taken instead.");
    CHECK(refusal(pack_key, "7 mm").find("limit excludes the stack of 7 mm") != std::string::npos);
}
