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
const std::vector<std::string> inputs = {car_path, demo_path("wren_readings.toml"), demo_path("wren_targets.toml")};

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
    const std::string said = refusal([&] { load_card(path, load_car(car_path), {car_path}); });
    return said.starts_with(path) ? said.substr(path.size()) : said;
}

}  // namespace

TEST_CASE("a card that is saved and loaded leaves the settings of its choice") {
    const Morning m = wren_morning();
    const Plan p = plan(m.car, m.measured(), m.targets);
    const ScratchFolder folder;
    for (const Which which : {Which::nothing, Which::closest}) {
        const std::string path = folder / ("card" + std::to_string(static_cast<int>(which)) + ".json");
        save_card(path, p, m.car, which, inputs);
        const Settings after = load_card(path, m.car, {car_path});
        const Settings expected = settings_after(m.car, p, which);
        CHECK(after.file == path);
        CHECK(after.car == expected.car);
        CHECK(after.turns == expected.turns);
        CHECK(after.shims_mm == expected.shims_mm);
        CHECK(after.box_mm == expected.box_mm);
        CHECK(refusal([&] { save_card(path, p, m.car, which, inputs); }).find("exists already") != std::string::npos);
        const std::string text = text_of(path);
        for (const CardStep& step : card(p, m.car, which).steps) CHECK(text.find(step.title) != std::string::npos);
    }
    // Another car file, and settings that the card does not know or that are not given.
    const std::string other = folder.write("other.toml", "# another\n");
    const std::string path = folder / "card1.json";
    CHECK(refusal([&] { load_card(path, m.car, {other}); }) ==
          other + ": is not what the card was made from, or has changed since: " + path);
    CHECK(refusal([&] { load_card(path, m.car, {car_path, other}); }).find("is not what") != std::string::npos);
    const std::string with_settings = folder / "with_settings.json";
    save_card(with_settings, p, m.car, Which::closest, {car_path, inputs[1], inputs[2], other});
    CHECK(refusal([&] { load_card(with_settings, m.car, {car_path}); }).find("give the same one with --settings") !=
          std::string::npos);
    CHECK(refusal([&] { load_card(with_settings, m.car, {car_path, other}); }) == "accepted");
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
    CHECK(refusal([] { load_card("nowhere.json", Car(), {}); }) == "nowhere.json: there is no such file");
}
