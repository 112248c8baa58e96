#include "shimwise/workshop/card_text.hpp"

#include <algorithm>

#include "catch.hpp"
#include "workshop/card_lines.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

std::string text(const std::vector<std::string>& lines) {
    std::string all;
    for (const std::string& line : lines) all += line + "\n";
    return all;
}

void check_size(const Card& card) {
    CHECK(first_page(card).size() <= first_page_lines);
    for (const auto& page : {first_page(card), steps_page(card), last_page(card)})
        for (const std::string& line : page) {
            INFO(line);
            CHECK(letters(line) <= card_columns);
        }
}

}  // namespace

TEST_CASE("the first page holds plan, chance, every corner, what is read then and the cautions") {
    const Morning m = wren_morning();
    Card got = card(plan(m.car, m.measured(), m.targets), m.car, Which::closest);
    got.doubts = {{"front_left.flags_mm", "a doubt"}};
    check_size(got);
    const std::string page = text(first_page(got));
    CHECK(page.starts_with("CARD  Wren: barn plate, 2026-05-02 08:10 UTC\nClosest plan, 68 minutes: inside every"));
    for (const char* words : {"Chance to pass when read again: 0.8", "\nFL  camber shim: add ",
                              "\nRR  pushrod: ", "Then flags 1.0 mm more at the front, gauge -2.",
                              "Heights then: FL 30.1, FR 30.1, RL 41.9", "Scales then: FL 98.",
                              "\nDoubtful (1), look again first at: front_left.flags_mm.\n", "1 1/4 flats"})
        CHECK(page.find(words) != std::string::npos);
    for (const std::string& caution : cautions_in_short()) CHECK(page.find("! " + caution) != std::string::npos);
}

TEST_CASE("steps have boxes, windows and room to write, and say what to do outside a window") {
    const Morning m = wren_morning();
    Card got = card(plan(m.car, m.measured(), m.targets), m.car, Which::closest);
    got.doubts = {{"front_left.flags_mm", "a doubt"}};
    const std::string steps = text(steps_page(got));
    for (const char* words :
         {"Outside it stop, do not go on: check count and shims, settle the car, read\nagain.", "--through",
          "\n  [ ] front_left camber shim: ", "flags 2.2 mm more at the front +-0.3 ______  gauge -2.6",
          "heights mm  FL 30.", "eye to eye 358.15, then 358.36 mm", "track rod, lock nuts:  [ ] FL  [ ] FR\n"})
        CHECK(steps.find(words) != std::string::npos);
    const std::string last = text(last_page(got));
    for (const char* words : {"front left toe           0.220 deg 0.013   0.100 within 0.055   0.1", "at least 4.000",
                              "model", "\nProof\n  - Nothing better among", "\nDoubts\n  - a doubt\n", "\nNotes\n"})
        CHECK(last.find(words) != std::string::npos);
}

TEST_CASE("however much there is, the first page keeps its size and counts what it leaves out") {
    const Morning m = wren_morning();
    Card got = card(plan(m.car, m.measured(), m.targets), m.car, Which::closest);
    CardStep& some = got.steps[1];
    for (int i = 0; i < 40; ++i) {
        CardLine line = some.lines[0];
        line.corner = std::string(corner_names[static_cast<std::size_t>(i) % 4]);
        line.text = line.corner + " adjuster number " + std::to_string(i) + ": 1 1/2 flats longer (0.25 turn)";
        some.lines.push_back(line);
        got.doubts.push_back({"front_left." + std::string(static_cast<std::size_t>(i), 'x'), "a doubt"});
        got.moves.emplace_back("front left camber from -2.60 to -2.40 deg");
    }
    got.notes.emplace_back(300, 'y');
    got.values[0].key = "a_height.of_a_point_with_a_very_long_name_" + std::string(60, 'z');
    got.values[0].least = -1.0;
    got.values[0].most = 1.0;
    check_size(got);
    const std::string page = text(first_page(got));
    CHECK(page.find(" more in the steps") != std::string::npos);
    CHECK(page.find(" more.") != std::string::npos);
    CHECK(page.find("! " + cautions_in_short().back()) != std::string::npos);
}

TEST_CASE("words wrap under themselves, a number stays with its word, letters are not bytes") {
    const std::vector<std::string> lines = wrapped("FL  ", std::string(72, 'a') + " 1 1/4 flats longer");
    CHECK(lines == std::vector<std::string>{"FL  " + std::string(72, 'a'), "    1 1/4 flats longer"});
    CHECK(letters("\xC3\xA4\xC3\xB6") == 2);
    for (const std::string& line : wrapped("", std::string(100, 'b'))) CHECK(line.size() <= card_columns);
    CHECK(reading_item({ReadingOf::height, "front_left", 30.06, 0.31}) == "FL 30.1 +-0.4 ______");  // rounded up
    CHECK(reading_item({ReadingOf::gauge, "front_left", -2.6, 0.0302}) == "gauge -2.60 deg +-0.04 ______");
    CHECK(reading_item({ReadingOf::flags, "rear_left", -0.6, 0.3}) == "flags 0.6 mm more at the rear +-0.3 ______");
}
