#include "shimwise/workshop/amounts.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/words.hpp"
#include "size.hpp"
#include "workshop/rod.hpp"

using namespace shimwise;

namespace {

using Shims = std::vector<double>;

const std::string rod_key = "front_left.track rod";
const std::string pack_key = "front_left.camber shim";

template <class Reads>
std::string refusal(Reads reads) {
    try {
        reads();
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

Amount of_rod(const Adjuster& adjuster, const Words& words) { return amount(rod_key, adjuster, words); }
double turned(const Adjuster& adjuster, const Words& words) {
    return turns_from_now(of_rod(adjuster, words), *adjuster.thread());
}
double set_to(const Adjuster& adjuster, const Words& words) {
    return turns_from_drawn(amount(rod_key, adjuster, words, From::drawn), *adjuster.thread());
}
double set(const Words& words) { return set_to(rod(0.0), words); }

/// Drawn with nothing, 2 + 1 mm fitted.
Adjuster pack() {
    Adjuster adjuster;
    Stack stack;
    stack.fitted_mm = {2.0, 1.0};
    adjuster.setting = stack;
    return adjuster;
}
Amount of_pack(const Words& words) { return amount(pack_key, pack(), words); }
Shims shims(const Words& words) { return of_pack(words).shims_mm.value(); }
double thicker(const Words& words) {
    CHECK_FALSE(of_pack(words).shims_mm);
    return of_pack(words).size;
}

/// What a card writes of turns, without the turns that it repeats.
std::string said(const std::string& words) { return words.substr(0, words.find(" (")); }

}  // namespace

TEST_CASE("turns that a card writes are read back") {
    const double locks[] = {0.0, 1.0 / 6.0, 0.5, 1.0, 0.25, 1.0 / 12.0};
    for (const double lock : locks)
        for (const Length length : {Length::track_rod, Length::spring_platform}) {
            const Adjuster adjuster = rod(lock, length);
            const double step = lock == 0.0 ? 1.0 / 24.0 : lock;
            for (int count = -100; count <= 100; ++count) {
                if (count == 0) continue;
                const std::string words = turns_words(adjuster, count * step);
                INFO(words);
                CHECK_NEAR(turned(adjuster, said(words)), count * step, 1e-12);
                CHECK_NEAR(set_to(adjuster, said(words)), 0.5 + count * step, 1e-12);
            }
        }
}

TEST_CASE("turns that no lock counts are read back as the card rounds them") {
    std::mt19937 draw(20);
    std::uniform_real_distribution<double> turns(-5.0, 5.0);
    const int cases = test_size("turns read back", 200, 20'000);
    for (int i = 0; i < cases; ++i) {
        const double wanted = turns(draw);
        const std::string words = turns_words(rod(0.0), wanted);
        INFO(words);
        CHECK_NEAR(turned(rod(0.0), said(words)), wanted, 0.0005 + 1e-12);
    }
}

TEST_CASE("packs and changes of them that a card writes are read back") {
    const double sizes_mm[] = {0.125, 0.2, 0.25, 0.5, 1.0, 2.0};
    std::mt19937 draw(21);
    std::uniform_int_distribution<std::size_t> shim(0, 5);
    const int cases = test_size("packs read back", 100, 10'000);
    for (int i = 0; i < cases; ++i) {
        StackChoice choice;
        for (int k = i % 5; k > 0; --k) choice.shims_mm.push_back(sizes_mm[shim(draw)]);
        choice.add_mm = {sizes_mm[shim(draw)]};
        const std::string words = shims_words(choice);
        const std::string told = words.substr(words.find(": pack ") + 7);
        INFO(words);
        std::sort(choice.shims_mm.rbegin(), choice.shims_mm.rend());
        CHECK(shims(told) == choice.shims_mm);
        CHECK(shims("=" + told) == choice.shims_mm);
        CHECK(thicker(thickness_words(choice.add_mm[0])) == choice.add_mm[0]);
        CHECK(thicker(thickness_words(-choice.add_mm[0])) == -choice.add_mm[0]);
    }
}

TEST_CASE("every unit of turns counts as many as it says, from the drawing or from how it stands") {
    CHECK(set("1.5 turns") == 1.5);
    CHECK(set("1 half turn") == 0.5);
    CHECK(set("3 flats") == 0.5);
    CHECK(set("2 half flats") == 1.0 / 6.0);
    CHECK(set("4 quarter flats") == 1.0 / 6.0);
    CHECK(set("2 steps") == 0.5);
    CHECK(set("2.5 mm") == 2.0);
    CHECK(set("1 1/2 flats") == 0.25);
    CHECK(set("3/4 turn") == 0.75);
    CHECK(set(".25turn") == 0.25);
    CHECK(set("  2  TURNS ") == 2.0);
    CHECK(set(1.25) == 1.25);
    CHECK(set("+ 1 turn") == 1.5);
    CHECK(set("-1 turn") == -0.5);
    CHECK(set("1 turn  Longer") == 1.5);
    CHECK(set("1 turn shorter") == -0.5);
    CHECK(turned(rod(0.0), "-2 flats") == -2.0 / 6.0);
    CHECK(turned(rod(0.0), 0.75) == 0.75);
    CHECK(turned(rod(0.0, Length::spring_platform), "2 turns away from the spring") == -2.0);
}

TEST_CASE("the setting itself is written with = or without a sign, a change with a sign or a way") {
    CHECK(set("=1.5 turns") == 1.5);
    CHECK(set("= 1.5 turns") == 1.5);
    CHECK(set("=-2 flats") == -2.0 / 6.0);
    CHECK(set("=2 flats shorter") == -2.0 / 6.0);
    CHECK(set("= +2 flats") == 2.0 / 6.0);
    CHECK(turned(rod(0.0), "=1.5 turns") == 1.0);
    CHECK(turned(rod(0.0), "1.5 turns") == 1.0);
    CHECK(turned(rod(0.0), "+1.5 turns") == 1.5);
    CHECK(of_rod(rod(0.0), "=1.5 turns").from_said);
    CHECK(of_rod(rod(0.0), "1.5 turns longer").from_said);
    CHECK_FALSE(of_rod(rod(0.0), "1.5 turns").from_said);
    CHECK(of_rod(rod(0.0), 1.5).from == From::now);
    CHECK(amount(rod_key, rod(0.0), 1.5, From::drawn).from == From::drawn);
}

TEST_CASE("numbers are whole, decimal, broken or in words") {
    CHECK(set("half a turn") == 0.5);
    CHECK(set("+ Half a flat") == 0.5 + 1.0 / 12.0);
    CHECK(set("a quarter of a flat longer") == 0.5 + 1.0 / 24.0);
    CHECK(set("a quarter turn") == 0.25);
    CHECK(set("a turn shorter") == -0.5);
    CHECK(set("3 quarter turns") == 0.75);
    CHECK(set("-1e-1 turn") == 0.4);
    CHECK(thicker("+half a mm") == 0.5);
    CHECK(shims("1/2 mm + 1 1/4") == Shims{0.5, 1.25});
}

TEST_CASE("a pack is a list or a sum, its change has a sign or a way") {
    CHECK(shims("2 + .5mm +0.25") == Shims{2.0, 0.5, 0.25});
    CHECK(shims(" No Shim ").empty());
    CHECK(shims("= no shim").empty());
    CHECK(shims("=0 mm").empty());
    CHECK(shims("0.0").empty());
    CHECK(shims("=2 mm") == Shims{2.0});
    CHECK(shims(Shims{1.0, 2.0}) == Shims{1.0, 2.0});
    CHECK(thicker("+0.5 mm") == 0.5);
    CHECK(thicker("- 1/2") == -0.5);
    CHECK(thicker("0.5 mm thinner") == -0.5);
    CHECK(thicker(0.25) == 0.25);
    CHECK(shims("0.5 mm") == Shims{0.5});
    CHECK(of_pack("0.5 + 2.0 mm").from_said);
    CHECK_FALSE(of_pack("0.5 mm").from_said);
}

TEST_CASE("what words were taken for is said, and what the unit leaves to be worked out") {
    const auto taken = [](const Words& words) { return of_rod(rod(0.0), words).taken; };
    CHECK(taken("+2 flats") == "2 flats longer (0.333 turn) than it stands");
    CHECK(of_rod(rod(0.0), "+2 flats").plain);
    CHECK(taken("-2 mm") ==
          "2.0 mm shorter than it stands, which is 1.6 turns (pitch 1.25 mm: 1.25 mm a turn); the nearest a hand "
          "counts is 9 "
          "flats");
    CHECK(taken("+2 steps") == "3 flats longer (0.5 turn) than it stands, one step being 1 1/2 flats");
    CHECK(taken("1 turn") ==
          "the setting itself, 6 flats longer (1 turn) than drawn: 3 flats longer (0.5 turn) than it stands; a change "
          "from how it stands is written +1 turn or -1 turn");
    CHECK(taken("=1/2 turn") == "the setting itself, 3 flats longer (0.5 turn) than drawn: as it stands");
    CHECK(taken("=0 turns") == "the setting itself, as drawn: 3 flats shorter (0.5 turn) than it stands");
    CHECK(taken("+0 turns") == "as it stands");
    CHECK_FALSE(of_rod(rod(0.0), "=1/2 turn").plain);
    Adjuster leg = rod(0.5);
    std::get<Thread>(leg.setting).designation = "M8x1.25";
    std::get<Thread>(leg.setting).ends = Ends::left_and_right;
    CHECK(of_rod(leg, "+2 mm").taken ==
          "2.0 mm longer than it stands, which is 0.8 turn (M8x1.25, left- and right-hand ends: 2.5 mm a turn)");
    std::get<Thread>(leg.setting).ends = Ends::same_hand;
    std::get<Thread>(leg.setting).second_pitch_mm = 1.5;  // the outer end's is the coarser one
    CHECK(of_rod(leg, "+1/2 mm").taken ==
          "0.5 mm longer than it stands, which is 4 half turns (M8x1.25, both ends of one hand: 0.25 mm a turn)");
    CHECK(of_rod(leg, "+1 turn").taken == "2 half turns shorter (1 turn) than it stands");
    CHECK(of_rod(leg, "1 turn longer").size == -1.0);
    CHECK(of_pack("+0.5 mm").taken == "0.5 mm thicker than it is, 3.5 mm in all");
    CHECK(of_pack("+0.5 mm").plain);
    CHECK(of_pack("2 mm").taken ==
          "the pack itself, 2.0 mm in all: 1.0 mm thinner than it is; a change from how it stands is written +2 mm or "
          "-2 mm");
    CHECK_FALSE(of_pack("2 mm").plain);
    CHECK(of_pack("2.0 + 1.0 mm").taken == "the pack itself, 3.0 mm in all: as thick as it is");
    CHECK(of_pack("2.0 + 1.0 mm").plain);
}

TEST_CASE("what is no amount of turns is refused with what would be one") {
    const std::string rule =
        "needs a number with turns, half turns, flats, quarter flats, steps or mm, such as +2 flats (longer than it "
        "stands) or =2 flats (from as drawn)";
    for (const char* words : {"two flats", "2", "", "+", "2 flats toward the spring", "+2 flats longer", "1/0 flat",
                              "1 2 flats", "2 flats long", "2 halfturns", "1.5.0 turns", "2flats longerr",
                              "2 mm thicker", "==2 flats", "=", "a", "half flat"}) {
        INFO(words);
        CHECK(refusal([&] { of_rod(rod(0.0), words); }) == rod_key + " = '" + words + "': " + rule);
    }
    CHECK(refusal([] { set(Shims{1.0}); }) == rod_key + " = [1]: " + rule);
    CHECK(refusal([] { set(Words({}, "None")); }) == rod_key + " = None: " + rule);
    CHECK(refusal([] {
              turned(rod(0.0, Length::spring_platform), "2 flats longer");
          }).find("+2 flats (toward the spring than") != std::string::npos);
    CHECK(refusal([] { set("+0,5 mm"); }) == rod_key + " = '+0,5 mm': has a decimal comma: write a point, such as 0.5");
}

TEST_CASE("what is no pack and no change of one is refused with what would be one") {
    const std::string rule = "needs a change such as +0.5 mm (thicker), or the shims fitted, such as 2.0 + 0.5 mm";
    for (const char* words :
         {"thin", "+1 flat", "2.0 + mm", "", "0.5 mm thick", "2.0 - 0.5 mm", "=2 mm thicker", "=+2"}) {
        INFO(words);
        CHECK(refusal([&] { of_pack(words); }) == pack_key + " = '" + words + "': " + rule);
    }
    CHECK(refusal([] { amount(pack_key, pack(), 2.0, From::drawn); }) == pack_key + " = 2: " + rule);
    CHECK(refusal([] { of_pack("2.0 + 0 mm"); }) == pack_key + " = '2.0 + 0 mm': a shim is thicker than 0 mm");
    CHECK(refusal([] { of_pack(Shims{0.0}); }) == pack_key + " = [0]: a shim is thicker than 0 mm");
    CHECK(refusal([] { of_pack(Shims{2.0, std::nan("")}); }) == pack_key + " = [2, nan]: a shim is thicker than 0 mm");
    CHECK(refusal([] { of_pack(Words({}, "None")); }) == pack_key + " = None: " + rule);
}

TEST_CASE("a value changes by a number in its own unit, toe also by mm at the flags") {
    const auto by = [](const Words& words, std::string_view unit, std::optional<double> span_mm = {}) {
        return value_change("aim", words, unit, span_mm).by;
    };
    CHECK(by(0.25, "deg") == 0.25);
    CHECK(by("+2 mm", "mm") == 2.0);
    CHECK(by("-1/2", "mm") == -0.5);
    CHECK(by("0.5 %", "percent") == 0.5);
    CHECK(by("0.5 percent", "percent") == 0.5);
    CHECK(by("1e2 Nm", "Nm") == 100.0);
    CHECK_NEAR(by("-26 mm", "deg", 520.0), -std::asin(0.05) * deg_per_rad, 1e-12);
    CHECK(value_change("toe", "+1 mm", "deg", 520.0).at_flags_mm == 1.0);
    CHECK_FALSE(value_change("toe", "+1 deg", "deg", 520.0).at_flags_mm);
    const auto refused = [&](const Words& words, std::string_view unit, std::optional<double> span_mm = {}) {
        return refusal([&] { by(words, unit, span_mm); });
    };
    CHECK(refused("+2 deg", "mm") == "aim = '+2 deg': is in mm, not in deg: needs a change, such as +2 mm");
    CHECK(refused("a lot", "mm") == "aim = 'a lot': needs a change, such as +2 mm");
    CHECK(refused("=2 mm", "mm") == "aim = '=2 mm': needs a change, such as +2 mm");
    CHECK(refused("+1 mm", "deg") == "aim = '+1 mm': is in deg, not in mm: needs a change, such as +0.25 deg");
    CHECK(refused("+1 kg", "deg", 520.0) ==
          "aim = '+1 kg': is in deg, not in kg: needs a change, such as +0.25 deg or +1 mm (at the flags)");
    CHECK(refused("+1 mm", "deg", 0.0).find("gives no flag_span_mm") != std::string::npos);
    CHECK(refused("+521 mm", "deg", 520.0).find("more than the flags' span of 520 mm") != std::string::npos);
}
