#include "shimwise/workshop/card_file.hpp"

#include <functional>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/error.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

const std::string car_path = demo_path("wren.toml");
Input demo_car() { return input_of(load_car(car_path)); }

/// What the demo's plan is made from.
std::vector<Input> demo_inputs(const Morning& m) { return {demo_car(), input_of(m.readings), input_of(m.targets)}; }

Input settings_input(const std::string& path) { return {"settings", path, origin_of(text_of(path))}; }

std::string refusal(const std::function<void()>& call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

/// What is said of a card with this text, without its path.
std::string refused(const std::string& text) {
    const ScratchFolder folder;
    const std::string path = folder.write("card.json", text);
    const std::string said = refusal([&] { settings_of_card(path, load_car(car_path), {demo_car()}); });
    return said.starts_with(path) ? said.substr(path.size()) : said;
}

}  // namespace

TEST_CASE("a card that is saved and loaded leaves the settings of its choice") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const std::vector<Input> inputs = demo_inputs(m);
    const ScratchFolder folder;
    for (const Which which : {Which::nothing, Which::closest}) {
        const std::string path = folder / ("card" + std::to_string(static_cast<int>(which)) + ".json");
        save_card(path, p, m.car, which, inputs);
        const Settings after = settings_of_card(path, m.car, {demo_car()});
        const Settings expected = settings_after(m.car, p, which);
        CHECK(after.file == path);
        CHECK(after.car == expected.car);
        CHECK(after.turns == expected.turns);
        CHECK(after.shims_mm == expected.shims_mm);
        CHECK(after.box_mm == expected.box_mm);
        CHECK(refusal([&] { save_card(path, p, m.car, which, inputs); }).find("exists already") != std::string::npos);
        CHECK(card_json(load_card(path)) == card_json(card(p, m.car, which)));
    }
    // Another car file, and settings that the card does not know or that are not given.
    const std::string other = folder.write("other.toml", "# another\n");
    const std::string path = folder / "card1.json";
    CHECK(refusal([&] { settings_of_card(path, m.car, {{"car", other, origin_of(text_of(other))}}); }) ==
          other + ": is not what the card was made from, or has changed since: " + path);
    CHECK(refusal([&] { settings_of_card(path, m.car, {demo_car(), settings_input(other)}); }).find("is not what") !=
          std::string::npos);
    const std::string with_settings = folder / "with_settings.json";
    save_card(with_settings, p, m.car, Which::closest, {inputs[0], settings_input(other), inputs[1], inputs[2]});
    CHECK(refusal([&] {
              settings_of_card(with_settings, m.car, {demo_car()});
          }).find("give the same one with --settings") != std::string::npos);
    CHECK(refusal([&] { settings_of_card(with_settings, m.car, {demo_car(), settings_input(other)}); }) == "accepted");
}

TEST_CASE("what is no card of this car is refused") {
    CHECK(refused("format = 1") == ":1:1: is not JSON: Expecting value");
    CHECK(refused("\xff") == ": is not a text file");
    const std::string needed = ": needs \"shimwise-card/1\", a card saved by `shimwise plan --save`";
    CHECK(refused("{}") == ": format = None" + needed);
    CHECK(refused("[1]") == ": format = None" + needed);
    CHECK(refused(R"({"format": "shimwise-card/2"})") == ": format = 'shimwise-card/2'" + needed);
    const std::string head = R"({"format": "shimwise-card/1", "car": "Wren")";
    CHECK(refused(R"({"format": "shimwise-card/1", "car": "Robin"})") == ": car = 'Robin': the car file is of 'Wren'");
    const std::string without = ": settings_after: needs turns, shims_mm and box_mm with numbers";
    CHECK(refused(head + "}") == without);
    for (const char* after :
         {R"("turns": {"a": "b"}, "shims_mm": {}, "box_mm": {})", R"("turns": {}, "shims_mm": {"a": 1}, "box_mm": {})",
          R"("turns": {}, "shims_mm": {"a": [null]}, "box_mm": {})", R"("turns": {}, "shims_mm": {}, "box_mm": [])",
          R"("turns": {}, "shims_mm": {})"})
        CHECK(refused(head + R"(, "settings_after": {)" + after + "}}") == without);
    const std::string whole = head + R"(, "settings_after": {"turns": {}, "shims_mm": {}, "box_mm": {}})";
    CHECK(refused(whole + "}") == ": inputs: needs the digests of the files that the card was made from");
    CHECK(refused(whole + R"(, "inputs": {}})").find("is not what the card was made from") != std::string::npos);
    CHECK(refusal([] { settings_of_card("nowhere.json", Car(), {}); }) == "nowhere.json: there is no such file");
}

TEST_CASE("inputs of one name in three folders are told apart by their role") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const ScratchFolder folder;
    std::vector<Input> inputs = demo_inputs(m);
    inputs[0].file = "a/x.toml";
    inputs[1].file = "b/x.toml";
    inputs[2].file = "c/x.toml";
    const std::string path = folder / "card.json";
    save_card(path, p, m.car, Which::closest, inputs);
    CHECK(refusal([&] { settings_of_card(path, m.car, {inputs[0]}); }) == "accepted");
    inputs[1].role = "car";  // the readings are in the card, and no car
    CHECK(refusal([&] { settings_of_card(path, m.car, {inputs[1]}); }).find("is not what the card was made from") !=
          std::string::npos);
}

TEST_CASE("a card whose steps and settings tell two things was changed by hand") {
    Morning m = wren_morning();
    m.read(CornerId::front_left).lengths_mm[Length::track_rod] =
        359.0;  // not what the settings say: the card says both
    const Plan p = plan(m.car, m.measured(), m.targets);
    const ScratchFolder folder;
    save_card(folder / "card.json", p, m.car, Which::closest, demo_inputs(m));
    const std::string text = text_of(folder / "card.json");
    const auto said = [&](const std::string& from, const std::string& to) {
        const std::string path = folder.write("edited.json", edited(text, from, to));
        const std::string words = refusal([&] { settings_of_card(path, m.car, {demo_car()}); });
        return words.starts_with(path) ? words.substr(path.size()) : words;
    };
    CHECK(said("", text) == "accepted");
    const auto hand = [&](const std::string& from, const std::string& to, const std::string& field) {
        INFO(from << " -> " << to);
        const std::string words = said(from, to);
        CHECK(words.find(field) != std::string::npos);
        CHECK(words.ends_with(": the card was changed by hand"));
    };
    std::string step, key;  // a thread that is turned
    for (const CardStep& one : card(p, m.car, Which::closest).steps)
        for (const CardLine& line : one.lines)
            if (line.text.find(" longer (") != std::string::npos) {
                step = line.text;
                key = line.key;
            }
    REQUIRE(!step.empty());
    hand(step, edited(step, "longer", "shorter"), "settings_after.turns.\"" + key + "\": says ");
    hand("\"key\": \"" + key + "\"", "\"key\": \"\"", "no step of the card turns it");
    hand("\"key\": \"" + key + "\"", "\"key\": \"front_left.rod\"", "\"front_left.rod\" is no adjuster");
    const std::size_t box = text.find("\"front\": [", text.find("\"settings_after\""));
    hand(text.substr(box), edited(text.substr(box), "[", "[0.4,"), "settings_after.box_mm.front");
    CHECK(said("\"settings_after\"", "\"settings_later\"") ==
          ": settings_after: needs turns, shims_mm and box_mm with numbers");
    CHECK(said("\"steps\"", "\"stops\"") == ": card.steps: needs steps with lines, each with its text and key");
    CHECK(said("\"settings_before\"", "\"settings_once\"").ends_with("or is of an earlier version; plan again"));
}

TEST_CASE("a card with what no card has gets a sentence") {
    const std::string deep = std::string(100000, '[') + std::string(100000, ']');
    CHECK(refused(deep) == ": has lists and tables in each other too deep for a card");
    CHECK(refused("{\"format\": " + deep + "}") == ": has lists and tables in each other too deep for a card");
    CHECK(refused("{\"format\": \"" + std::string(1000, '[') + "\\\"" + "\"}").find("needs \"shimwise-card/1\"") !=
          std::string::npos);
    CHECK(refused("{\"a\": 1e999}") == ": has a number that is larger than any");
    CHECK(refused("{\"a\": " + std::string(400, '9') + "}") == ": has a number that is larger than any");
    CHECK(refused("{\"a\": \"\\ud800\"}") == ":1:7: is not JSON: Expecting value");
}

TEST_CASE("a card is taken up to a step") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const ScratchFolder folder;
    const std::string path = folder / "card.json";
    save_card(path, p, m.car, Which::closest, demo_inputs(m));
    const Settings before = settings_of(m.car), after = settings_after(m.car, p, Which::closest);
    std::size_t done = 0;
    for (const int through : {0, 1, 2, 3, 5, 6, 10}) {
        const Settings left = settings_of_card(path, m.car, {demo_car()}, through);
        for (const CardStep& step : card(p, m.car, Which::closest).steps)
            for (const CardLine& line : step.lines) {
                if (line.key.empty()) continue;
                INFO(through << " " << line.key);
                const Settings& as = step.number <= through ? after : before;
                if (as.turns.contains(line.key))
                    CHECK(left.turns.at(line.key) == as.turns.at(line.key));
                else
                    CHECK(left.shims_mm.at(line.key) == as.shims_mm.at(line.key));
                done += step.number <= through ? 1 : 0;
            }
        with_settings(m.car, left);  // a valid set of settings
        if (through >= 2) CHECK(left.box_mm == after.box_mm);
    }
    CHECK(done > 0);
    CHECK(refusal([&] { settings_of_card(path, m.car, {demo_car()}, 11); }) ==
          "through = 11: needs the number of a step, 0 to 10");
    CHECK(refusal([&] { settings_of_card(path, m.car, {demo_car()}, -1); }).starts_with("through = -1: needs"));
}

TEST_CASE("a card is shown from its file alone, and what cannot be in it is named by its field") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const ScratchFolder folder;
    save_card(folder / "card.json", p, m.car, Which::closest, demo_inputs(m));
    const std::string text = text_of(folder / "card.json");
    const auto said = [&](const std::string& from, const std::string& to) {
        const std::string path = folder.write("edited.json", edited(text, from, to));
        const std::string words = refusal([&] { load_card(path); });
        return words.starts_with(path) ? words.substr(path.size()) : words;
    };
    CHECK(said("\"frame\"", "\"frame\"") == "accepted");
    CHECK(said("\"which\": \"closest\"", "\"which\": \"best\"") ==
          ": card.which = 'best': needs one of nothing, closest and least_work");
    CHECK(said("\"number\": 2", "\"number\": 2.5") == ": card.steps[1].number = 2.5: needs a whole number");
    CHECK(said("\"number\": 2", "\"number\": \"two\"").find("card.steps[1].number = 'two': needs a number") !=
          std::string::npos);
    CHECK(said("\"of\": \"flags\"", "\"of\": \"flag\"") ==
          ": card.steps[1].lines[0].expect[0].of = 'flag': needs one of flags, gauge, height and scale");
    CHECK(said("\"window\": 0", "\"window\": -1").find(".window = -1") != std::string::npos);
    CHECK(said("\"ticks\": [", "\"ticks\": [1, ") == ": card.steps[0].lines[0].ticks[0] = 1: needs a text");
    CHECK(said("\"steps\": [", "\"stops\": [") == ": card.steps: is missing: needs a list");
    CHECK(said("\"card\": {", "\"cart\": {") == ": card: needs a table: the card itself");
    CHECK(said("\"touches\": true", "\"touches\": 1") == ": card.touches = 1: needs true or false");
}

TEST_CASE("a card of an earlier version is shown with what it has") {
    const ScratchFolder folder;
    const std::string path = folder.write("card.json", R"json({"format": "shimwise-card/1", "car": "Wren", "card": {
        "car": "Wren", "which": "closest", "title": "Closest plan, 8 minutes: inside.", "frame": "", "touches": true,
        "minutes": 8, "cautions": ["Lock."], "steps": [{"number": 6, "title": "Toe", "boxes": true, "lines": [
        {"text": "front_left track rod: 1 flat longer (0.167 turn)", "corner": "front_left", "key": "front_left.track rod",
        "minutes": 4, "expect": {"toe_deg": 0.1, "toe_deviation_deg": 0.01, "flag_difference_mm": 0.9,
        "flag_deviation_mm": 0.1, "camber_deg": null, "camber_deviation_deg": null, "gauge_deg": null}}]}],
        "refusals": ["front_left: no"], "notes": ["a note"]}})json");
    const Card old = load_card(path);
    REQUIRE(old.steps.size() == 1);
    REQUIRE(old.steps[0].lines[0].expect.size() == 1);
    CHECK_NEAR(old.steps[0].lines[0].expect[0].window, 0.2, 1e-12);
    CHECK(old.notes == std::vector<std::string>{"front_left: no", "a note"});
}
