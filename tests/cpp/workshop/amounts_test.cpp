#include "shimwise/workshop/amounts.hpp"

#include <algorithm>
#include <random>

#include "catch.hpp"
#include "shimwise/error.hpp"
#include "shimwise/workshop/words.hpp"
#include "size.hpp"
#include "workshop/rod.hpp"

using namespace shimwise;

namespace {

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

double turned(const Adjuster& adjuster, const Words& words) { return thread_change(rod_key, adjuster, words); }
double set(const Words& words) { return thread_setting(rod_key, rod(0.0), words); }
double thicker(const Words& words) { return std::get<double>(pack_change(pack_key, words)); }

/// What a card writes of turns, without the turns that it repeats.
std::string amount(const std::string& words) { return words.substr(0, words.find(" (")); }

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
                CHECK_NEAR(turned(adjuster, amount(words)), count * step, 1e-12);
                CHECK_NEAR(thread_setting(rod_key, adjuster, amount(words)), 0.5 + count * step, 1e-12);
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
        CHECK_NEAR(turned(rod(0.0), amount(words)), wanted, 0.0005 + 1e-12);
    }
}

TEST_CASE("packs and changes of them that a card writes are read back") {
    const double shims[] = {0.125, 0.2, 0.25, 0.5, 1.0, 2.0};
    std::mt19937 draw(21);
    std::uniform_int_distribution<std::size_t> shim(0, 5);
    const int cases = test_size("packs read back", 100, 10'000);
    for (int i = 0; i < cases; ++i) {
        StackChoice choice;
        for (int k = i % 5; k > 0; --k) choice.shims_mm.push_back(shims[shim(draw)]);
        choice.add_mm = {shims[shim(draw)]};
        const std::string words = shims_words(choice);
        const std::string pack = words.substr(words.find(": pack ") + 7);
        INFO(words);
        std::sort(choice.shims_mm.rbegin(), choice.shims_mm.rend());
        CHECK(pack_setting(pack_key, pack) == choice.shims_mm);
        CHECK(std::get<std::vector<double>>(pack_change(pack_key, pack)) == choice.shims_mm);
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

TEST_CASE("a pack is a list or a sum, its change has a sign or a way") {
    CHECK(pack_setting(pack_key, "2 + .5mm +0.25") == std::vector<double>{2.0, 0.5, 0.25});
    CHECK(pack_setting(pack_key, " No Shim ").empty());
    CHECK(pack_setting(pack_key, std::vector<double>{1.0, 2.0}) == std::vector<double>{1.0, 2.0});
    CHECK(thicker("+0.5 mm") == 0.5);
    CHECK(thicker("- 1/2") == -0.5);
    CHECK(thicker("0.5 mm thinner") == -0.5);
    CHECK(thicker(0.25) == 0.25);
    CHECK(std::get<std::vector<double>>(pack_change(pack_key, "0.5 mm")) == std::vector<double>{0.5});
}

TEST_CASE("what is no amount of turns is refused with what would be one") {
    const std::string rule =
        "needs turns, or a number with turns, flats, quarter flats, half turns, steps or mm, such as +2 flats or 2 "
        "flats longer";
    for (const char* words : {"two flats", "2", "", "+", "2 flats toward the spring", "+2 flats longer", "1/0 flat",
                              "1 2 flats", "2 flats long", "2 halfturns", "1.5.0 turns", "2flats longerr"}) {
        INFO(words);
        const std::string said = rod_key + " = '" + words + "': " + rule;
        CHECK(refusal([&] { set(words); }) == said);
        CHECK(refusal([&] { turned(rod(0.0), words); }) == said);
    }
    CHECK(refusal([] { set(std::vector<double>{1.0}); }) == rod_key + " = [1]: " + rule);
    CHECK(refusal([] { set(Words({}, "None")); }) == rod_key + " = None: " + rule);
    CHECK(refusal([] { turned(rod(0.0, Length::spring_platform), "2 flats longer"); }) ==
          rod_key + " = '2 flats longer': " + rule.substr(0, rule.rfind(' ')) + " toward the spring");
}

TEST_CASE("a change without a way is asked which way it goes") {
    CHECK(refusal([] { turned(rod(0.0), "2 flats"); }) ==
          rod_key + " = '2 flats': which way? Write +2 flats (longer) or -2 flats (shorter), from how it stands");
    CHECK(refusal([] { turned(rod(0.0, Length::spring_platform), "1 mm"); }) ==
          rod_key +
              " = '1 mm': which way? Write +1 mm (toward the spring) or -1 mm (away from the spring), from how it "
              "stands");
}

TEST_CASE("what is no pack and no change of one is refused with what would be one") {
    const std::string pack = "needs the shims fitted, such as 2.0 + 0.5 mm";
    const std::string change = "needs a change such as +0.5 mm (thicker), or the shims fitted, such as 2.0 + 0.5 mm";
    for (const char* words : {"thin", "+1 flat", "2.0 + mm", "", "1/2 mm", "0.5 mm thick", "2.0 - 0.5 mm"}) {
        INFO(words);
        CHECK(refusal([&] { pack_setting(pack_key, words); }) == pack_key + " = '" + words + "': " + pack);
        CHECK(refusal([&] { pack_change(pack_key, words); }) == pack_key + " = '" + words + "': " + change);
    }
    CHECK(refusal([] { pack_setting(pack_key, 2.0); }) == pack_key + " = 2: " + pack);
    CHECK(refusal([] { pack_setting(pack_key, "+0.5 mm"); }) == pack_key + " = '+0.5 mm': " + pack);
    CHECK(refusal([] { pack_change(pack_key, Words({}, "None")); }) == pack_key + " = None: " + change);
}
