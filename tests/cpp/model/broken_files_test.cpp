// Broken car files: the demo's text with one edit each, and the exact sentences that the edit must get.
#include <set>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

// clang-format off
const std::vector<BrokenFile> broken_car = {
    {"syntax: unclosed list",
     "at_mm = [-1300.0, 0.0, 250.0]",
     "at_mm = [-1300.0, 0.0, 250.0",
     "15:1: is not valid TOML: in array: expected comma or closing ']', saw 'n'"},
    {"syntax: no equals sign",
     "name = \"Wren\"",
     "name \"Wren\"",
     "5:6: is not valid TOML: in key-value pair: expected '=', saw '\"'"},
    {"syntax: key given twice",
     "bars_apart_mm = 3900.0",
     "bars_apart_mm = 3900.0\nbars_apart_mm = 3900.0",
     "32:17: is not valid TOML: in key-value pair: cannot redefine existing floating-point 'bars_apart_mm'"},
    {"syntax: unclosed text",
     "name = \"Wren\"",
     "name = \"Wren",
     "5:13: is not valid TOML: in string: unescaped control characters other than TAB (U+0009) are explicitly prohibited"},
    {"not UTF-8",
     "name = \"Wren\"",
     "name = \"Wr\xE9" "n\"",
     "5:11: is not UTF-8 text"},
    {"format missing",
     "format = \"shimwise-car/1\"\n",
     "",
     "1:1: format: is missing: the file needs the line format = \"shimwise-car/1\""},
    {"format of another kind",
     "shimwise-car/1",
     "shimwise-readings/1",
     "4:10: format = \"shimwise-readings/1\": this is a readings file, a car file is needed (\"shimwise-car/1\")"},
    {"format newer",
     "shimwise-car/1",
     "shimwise-car/2",
     "4:10: format = \"shimwise-car/2\": is newer than this version of shimwise, which reads up to \"shimwise-car/1\""},
    {"format of nobody",
     "shimwise-car/1",
     "car-1",
     "4:10: format = \"car-1\": is none of ours: needs \"shimwise-car/1\""},
    {"empty file",
     "",
     "\n",
     "1:1: format: is missing: the file needs the line format = \"shimwise-car/1\""},
    {"unknown key",
     "camber_deg = -2.60",
     "cambr_deg = -2.60",
     "69:9: front_left.wheel.camber_deg: is missing: needs a number\n69:59: front_left.wheel.cambr_deg = -2.60: is not a key here; did you mean \"camber_deg\"?"},
    {"unknown key",
     "[rake]",
     "[raek]",
     "39:2: raek: is not a key here; did you mean \"rake\"?"},
    {"unknown key",
     "zero_error_deg",
     "zeroerror_deg",
     "268:67: instruments.camber_gauge.zeroerror_deg = 0.0: is not a key here; did you mean \"zero_error_deg\"?"},
    {"unknown key without a near one",
     "minutes = 12",
     "minutes = 12\ncolour = \"red\"",
     "111:1: front_left.adjuster \"camber shim\".colour = \"red\": is not a key here"},
    {"wrong type: text for a number",
     "total_kg = 498.0",
     "total_kg = \"498\"",
     "8:12: mass.total_kg = \"498\": needs a number"},
    {"wrong type: number for a text",
     "name = \"Wren\"",
     "name = 7",
     "5:8: name = 7: needs a text in quotes"},
    {"wrong type: text for a list",
     "outer = [100.0, 590.0, 153.0]",
     "outer = \"here\"",
     "72:53: front_left.track_rod.outer = \"here\": needs 3 numbers (x, y, z)"},
    {"wrong type: text for true or false",
     "connected = false",
     "connected = \"no\"",
     "52:13: front_bar.connected = \"no\": needs true or false"},
    {"wrong type: text for a date",
     "checked = 2026-04-20",
     "checked = \"2026-04-20\"",
     "268:128: instruments.camber_gauge.checked = \"2026-04-20\": needs a date without quotes, such as 2026-04-20"},
    {"wrong type: fraction for a whole number",
     "valid_days = 60",
     "valid_days = 60.5",
     "268:153: instruments.camber_gauge.valid_days = 60.5: needs a whole number"},
    {"wrong type: text in a list of numbers",
     "front_mm = [0.1,",
     "front_mm = [\"0.1\",",
     "65:12: shims.front_mm = [\"0.1\", 0.1, 0.2, 0.2, 0.5, 0.5, 1.0, 1.0, 2.0]: needs a list of numbers"},
    {"wrong type: number for a table",
     "damper = { shortest_mm = 205.0, longest_mm = 250.0 }",
     "damper = 205.0",
     "75:10: front_left.damper = 205.0: needs a table"},
    {"wrong type: name for a list of names",
     "moves = [\"upper_wishbone.outer\"]",
     "moves = \"upper_wishbone.outer\"",
     "101:9: front_left.adjuster \"camber shim\".moves = \"upper_wishbone.outer\": needs a list of names in quotes"},
    {"wrong length of a point",
     "inner = [90.0, 232.0, 155.5]",
     "inner = [90.0, 232.0]",
     "72:23: front_left.track_rod.inner = [90.0, 232.0]: has 2 numbers, needs 3 (x, y, z)"},
    {"wrong length of a range",
     "limits_turns = [-6.0, 6.0]",
     "limits_turns = [-6.0]",
     "95:16: front_left.adjuster \"track rod\".limits_turns = [-6.0]: has 1 number, needs 2 (least, most)"},
    {"range upside down",
     "limits_turns = [-6.0, 6.0]",
     "limits_turns = [6.0, -6.0]",
     "95:16: front_left.adjuster \"track rod\".limits_turns = [6.0, -6.0]: the smaller number must stand first"},
    {"rows that are no pairs",
     "[[0.0, 0.0], [5.0, 400.0], [8.0, 1100.0]]",
     "[[0.0, 0.0], [5.0]]",
     "76:48: front_left.bump_rubber.force_N_at_mm = [[0.0, 0.0], [5.0]]: needs a list of pairs of numbers"},
    {"not a finite number",
     "total_kg = 498.0",
     "total_kg = nan",
     "8:12: mass.total_kg = nan: must be a finite number"},
    {"not a finite number",
     "limits_mm = [0.0, 6.0]",
     "limits_mm = [0.0, inf]",
     "108:13: front_left.adjuster \"camber shim\".limits_mm = [0.0, inf]: must be a finite number"},
    {"number too large",
     "total_kg = 498.0",
     "total_kg = 1e300",
     "8:12: mass.total_kg = 1e300: is beyond 1e12, larger than anything here"},
    {"missing key",
     "radius_mm = 255.0, ",
     "",
     "23:9: setup_wheel.front.radius_mm: is missing: needs a number"},
    {"missing key",
     "locks = \"half_turn\"\n",
     "",
     "139:1: front_left.adjuster \"upper front leg\".locks: is missing: needs anywhere, quarter_flat, half_flat, flat, quarter_turn, half_turn, turn or 1/n turn"},
    {"missing key",
     "purpose = \"toe\"\n",
     "",
     "84:1: front_left.adjuster \"track rod\".purpose: is missing: needs one of toe, camber, caster, ride_height, corner_weight, bar_free"},
    {"name from a list misspelt",
     "ends = \"left_and_right\"",
     "ends = \"left_and_rihgt\"",
     "89:8: front_left.adjuster \"track rod\".ends = \"left_and_rihgt\": needs one of one, left_and_right, same_hand; did you mean \"left_and_right\"?"},
    {"name from a list misspelt",
     "name = \"track rod\"\n",
     "name = \"track rod\"\nleft_hand = \"otuer\"\n",
     "86:13: front_left.adjuster \"track rod\".left_hand = \"otuer\": needs one of outer, inner; did you mean \"outer\"?"},
    {"key for another kind",
     "pitch_mm = 1.5\nends = \"one\"\n",
     "pitch_mm = 1.5\nends = \"one\"\nleft_hand = \"outer\"\n",
     "133:13: front_left.adjuster \"spring platform\".left_hand = \"outer\": is only for ends = \"left_and_right\""},
    {"name from a list misspelt",
     "purpose = \"ride_height\"",
     "purpose = \"rideheight\"",
     "115:11: front_left.adjuster \"pushrod\".purpose = \"rideheight\": needs one of toe, camber, caster, ride_height, corner_weight, bar_free; did you mean \"ride_height\"?"},
    {"name from a list misspelt",
     "from = \"floor\"",
     "from = \"flor\"",
     "36:50: ride_height_points.front_left.from = \"flor\": needs one of floor, skid; did you mean \"floor\"?"},
    {"name from a list misspelt",
     "outer_on = \"lower_wishbone\"",
     "outer_on = \"lower_wishbne\"",
     "73:82: front_left.pushrod.outer_on = \"lower_wishbne\": needs one of lower_wishbone, upper_wishbone, upright; did you mean \"lower_wishbone\"?"},
    {"name from a list misspelt",
     "blade = \"medium\"",
     "blade = \"hrad\"",
     "51:9: front_bar.blade = \"hrad\": needs one of soft, medium, hard; did you mean \"hard\"?"},
    {"length that is none",
     "changes = \"track_rod\"",
     "changes = \"track_rd\"",
     "86:11: front_left.adjuster \"track rod\".changes = \"track_rd\": needs one of upper_wishbone.front_leg, upper_wishbone.rear_leg, lower_wishbone.front_leg, lower_wishbone.rear_leg, track_rod, pushrod, drop_link, spring_platform; did you mean \"track_rod\"?"},
    {"point that is none",
     "moves = [\"upper_wishbone.outer\"]",
     "moves = [\"upper_wishbone.outr\"]",
     "101:9: front_left.adjuster \"camber shim\".moves = [\"upper_wishbone.outr\"]: \"upper_wishbone.outr\" is no point; did you mean \"upper_wishbone.outer\"?"},
    {"point on another body than the shim",
     "moves = [\"upper_wishbone.outer\"]",
     "moves = [\"upper_wishbone.outer\", \"pushrod.outer\"]",
     "101:9: front_left.adjuster \"camber shim\".moves = [\"upper_wishbone.outer\", \"pushrod.outer\"]: pushrod.outer sits on the lower wishbone, not on the upright"},
    {"point on another body than the shim",
     "on = \"upright\"",
     "on = \"chassis\"",
     "101:9: front_left.adjuster \"camber shim\".moves = [\"upper_wishbone.outer\"]: upper_wishbone.outer sits on the upright, not on the chassis"},
    {"point named twice",
     "moves = [\"upper_wishbone.outer\", \"track_rod.outer\"]",
     "moves = [\"track_rod.outer\", \"track_rod.outer\"]",
     "213:9: rear_left.adjuster \"camber shim\".moves = [\"track_rod.outer\", \"track_rod.outer\"]: track_rod.outer is named twice"},
    {"thread that is none",
     "thread = \"M8x1.25\"",
     "thread = \"M8-1.25\"",
     "88:10: front_left.adjuster \"track rod\".thread = \"M8-1.25\": is no thread such as \"M8x1.25\", \"M8\" or \"3/8-24\""},
    {"lock that is none",
     "locks = \"half_turn\"",
     "locks = \"halfturn\"",
     "145:9: front_left.adjuster \"upper front leg\".locks = \"halfturn\": needs anywhere, quarter_flat, half_flat, flat, quarter_turn, half_turn, turn or 1/n turn; did you mean \"half_turn\"?"},
    {"counted where it locks by itself",
     "locks = \"half_turn\"",
     "locks = \"half_turn\"\ncounted_in = \"flat\"",
     "146:14: front_left.adjuster \"upper front leg\".counted_in = \"flat\": is only for locks = \"anywhere\": here a step is what it locks at"},
    {"zero direction",
     "direction = [0.0, -1.0, 0.0]",
     "direction = [0.0, 0.0, 0.0]",
     "104:13: front_left.adjuster \"camber shim\".direction = [0.0, 0.0, 0.0]: is a zero vector: it has no direction"},
    {"box that is none",
     "box = \"front\"",
     "box = \"frnt\"",
     "107:7: front_left.adjuster \"camber shim\".box = \"frnt\": is no box under [shims]; did you mean \"front\"?"},
    {"rake of an unknown point",
     "front = \"front_left\"\nrear",
     "front = \"frontleft\"\nrear",
     "40:9: rake.front = \"frontleft\": is no ride-height point; did you mean \"front_left\"?"},
    {"two ways of giving the spring",
     "load_at_drawn_N = 1120.0",
     "load_at_drawn_N = 1120.0, free_length_mm = 200.0",
     "74:10: front_left.spring: has more than one of load_at_drawn_N, free_length_mm or rests_as_drawn = true"},
    {"no way of giving the spring",
     ", load_at_drawn_N = 1120.0",
     "",
     "74:10: front_left.spring: needs one of load_at_drawn_N, free_length_mm or rests_as_drawn = true"},
    {"rests as drawn for some",
     "load_at_drawn_N = 1120.0",
     "rests_as_drawn = true",
     "74:81: front_left.spring.rests_as_drawn = true: stands for 2 of the four springs: it is all four or none"},
    {"two ways of giving the masses",
     "cg_mm = [-1420.0, 4.0, 285.0]",
     "cg_mm = [-1420.0, 4.0, 285.0]\ncg_height_mm = 285.0\nscales_kg = { front_left = 100.0, front_right = 98.0, rear_left = 150.0, rear_right = 150.0 }",
     "11:13: mass.scales_kg: is given beside cg_mm: only one of them may be"},
    {"scales that do not make the total",
     "cg_mm = [-1420.0, 4.0, 285.0]",
     "cg_height_mm = 285.0\nscales_kg = { front_left = 100.0, front_right = 98.0, rear_left = 150.0, rear_right = 100.0 }",
     "10:13: mass.scales_kg: the four scales add up to 448 kg, total_kg says 498 kg"},
    {"thread and shims at once",
     "drawn_with_mm = 3.0",
     "drawn_with_mm = 3.0\nthread = \"M8\"\nlocks = \"flat\"\nends = \"one\"",
     "105:17: front_left.adjuster \"camber shim\".drawn_with_mm = 3.0: is given beside a thread: an adjuster is a thread or a stack of shims"},
    {"adjuster name twice",
     "name = \"pushrod\"",
     "name = \"track rod\"",
     "113:8: front_left.adjuster \"track rod\".name = \"track rod\": is the name of two adjusters of this corner"},
    {"adjuster name with a dot",
     "name = \"drop link\"",
     "name = \"drop.link\"",
     "166:8: front_left.adjuster \"drop.link\".name = \"drop.link\": must have no dot and no '=' (settings are written corner.name=turns)"},
    {"adjuster name with an equals sign",
     "name = \"drop link\"",
     "name = \"drop=link\"",
     "166:8: front_left.adjuster \"drop=link\".name = \"drop=link\": must have no dot and no '=' (settings are written corner.name=turns)"},
    {"third element without rocker",
     "[rear_left.rocker]",
     "[rear_third]\nleft = [-2330.0, 278.0, 460.0]\nrate_N_per_mm = 60.0\ngap_mm = 2.0\n[rear_left.rocked]",
     "185:11: rear_left.pushrod: pushrod and rocker are given together or not at all\n186:10: rear_left.spring.outer: is missing: needs 3 numbers (x, y, z)\n186:10: rear_left.spring.outer_on: is missing: needs one of lower_wishbone, upper_wishbone, upright\n190:1: rear_third: needs a rocker on both sides of its axle\n194:12: rear_left.rocked: is not a key here; did you mean \"rocker\"?\n257:11: rear_left.adjuster \"drop link\".changes = \"drop_link\": this corner has no such part"},
    {"a thread finer than any",
     "thread = \"M8x1.25\"",
     "pitch_mm = 5e-324",
     "88:12: front_left.adjuster \"track rod\".pitch_mm = 5e-324: is finer than 0.01 mm: no thread is"},
    {"a point beyond any car",
     "outer = [6.0, 606.0, 112.0]",
     "outer = [6.0, 606000000.0, 112.0]",
     "71:90: front_left.lower_wishbone.outer = [6.0, 606000000.0, 112.0]: lies farther than 20000 mm from the origin: no car is so large"},
    {"rack that points to the right",
     "direction = [0.0, 1.0, 0.0]",
     "direction = [0.0, -1.0, 0.0]",
     "44:13: rack.direction = [0.0, -1.0, 0.0]: must point to the left (y above 0)"},
    {"several faults",
     "total_kg = 498.0",
     "total_kg = \"heavy\"\nwheelbase_mm = 2345.0",
     "8:12: mass.total_kg = \"heavy\": needs a number\n9:1: mass.wheelbase_mm = 2345.0: is not a key here; known are total_kg, cg_mm, scales_kg, unsprung_kg, unsprung_cg_mm"},
};
// clang-format on

}  // namespace

TEST_CASE("a broken car file gets one sentence per fault") {
    const std::string good = text_of(demo_path("wren.toml"));
    CHECK(complaint(good, load_car).empty());
    for (const BrokenFile& broken : broken_car) {
        INFO(broken.kind << ": " << broken.to);
        CHECK(complaint(edited(good, broken.from, broken.to), load_car) == broken.expected);
    }
}

TEST_CASE("there are many broken car files of many kinds") {
    std::set<std::string> kinds;
    for (const BrokenFile& broken : broken_car) kinds.insert(broken.kind);
    std::string list;
    for (const std::string& kind : kinds) list += kind + "\n";
    INFO(list);
    CHECK(broken_car.size() >= 60);
    CHECK(kinds.size() >= 25);
}

TEST_CASE("a car file that is not there, or is a folder, is said") {
    const ScratchFolder folder;
    const auto said = [](const std::string& path) {
        try {
            load_car(path);
        } catch (const InputError& error) {
            return std::string(error.what()).substr(path.size());
        }
        return std::string();
    };
    CHECK(said(folder / "none.toml") == ": there is no such file");
    CHECK(said(folder / ".") == ": is a folder, a file is needed");
}

TEST_CASE("a fault of the left side that the right side takes over is listed once") {
    const std::string good = text_of(demo_path("wren.toml"));
    const auto problems = [&](const std::string& from, const std::string& to) -> std::size_t {
        const ScratchFolder folder;
        try {
            load_car(folder.write("car.toml", edited(good, from, to)));
        } catch (const InputError& error) {
            return error.problems().size();
        }
        return 0;
    };
    CHECK(problems("outer_on = \"lower_wishbone\"", "outer_on = 3") == 1);
    CHECK(problems("[instruments]", "[front_right]\npushrod = { outer_on = 3 }\n\n[instruments]") == 1);
}

TEST_CASE("faults all over a file are listed at once, in the file's order") {
    std::string text = text_of(demo_path("wren.toml"));
    text = edited(text, "now_kg = 75.0", "now_kg = -75.0");
    text = edited(text, "flag_span_mm = 520.0", "flagspan_mm = 520.0");
    text = edited(text, "shortest_mm = 205.0, longest_mm = 250.0", "shortest_mm = 235.0, longest_mm = 250.0");
    text = edited(text, "thread = \"M6x1\"", "thread = \"M6y1\"");
    text = edited(text, "toe_deg = 0.005", "toe_deg = \"little\"");
    CHECK(complaint(text, load_car) ==
          "15:10: ballast[1].now_kg = -75.0: must not be negative\n"
          "23:64: setup_wheel.front.flagspan_mm = 520.0: is not a key here; did you mean \"flag_span_mm\"?\n"
          "75:10: front_left.damper: its range of 235 to 250 mm excludes the drawn length eye to eye, 230.489 mm\n"
          "169:10: front_left.adjuster \"drop link\".thread = \"M6y1\": is no thread such as \"M8x1.25\", \"M8\" or "
          "\"3/8-24\"\n"
          "277:11: settling.toe_deg = \"little\": needs a number");
}
