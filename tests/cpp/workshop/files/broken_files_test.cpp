// Broken readings, targets and settings files: one edit each, and the exact sentences that the edit must get.
#include <set>

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/workshop/files/readings.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "shimwise/workshop/files/targets.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

const char* const good_settings = R"(format = "shimwise-settings/1"
car = "Wren"
turns = { "front_left.track rod" = 1.25, "front_left.pushrod" = -0.5 }
shims_mm = { "front_left.camber shim" = [2.0, 0.5] }
box_mm = { front = [0.5, 0.5, 1.0, 2.0] }
)";

// clang-format off
const std::vector<BrokenFile> broken_readings = {
    {"format of another kind",
     "shimwise-readings/1",
     "shimwise-car/1",
     "2:10: format = \"shimwise-car/1\": this is a car file, a readings file is needed (\"shimwise-readings/1\")"},
    {"syntax: unclosed table",
     "front_bar_mm = { left = 905.0, right = 905.0 }",
     "front_bar_mm = { left = 905.0, right = 905.0",
     "15:45: is not valid TOML: in inline table: expected key or closing '}', saw '\\n'"},
    {"unknown key",
     "flags_mm",
     "flag_mm",
     "32:1: front_left.flag_mm: is not a key here; did you mean \"flags_mm\"?"},
    {"unknown corner",
     "[rear_right]",
     "[rear_rihgt]",
     "49:2: rear_rihgt: is not a key here; did you mean \"rear_right\"?"},
    {"unknown adjuster",
     "\"camber shim\" = [2.0, 1.0]",
     "\"camber shims\" = [2.0, 1.0]",
     "35:31: front_left.shims_mm.\"camber shims\" = [2.0, 1.0]: is no stack of shims of this corner; did you mean \"camber shim\"?"},
    {"unknown ride-height point",
     "rear_left = 42.8",
     "rear_lfet = 42.8",
     "25:13: ride_heights_mm.rear_lfet = 42.8: is no ride-height point of the car; did you mean \"rear_left\"?"},
    {"unknown ballast",
     "fuel = 12.0",
     "feul = 12.0",
     "8:38: state.ballast_kg.feul = 12.0: is no ballast of the car; did you mean \"fuel\"?"},
    {"unknown length",
     "camber_deg = -2.72",
     "camber_deg = -2.72\nlengths_mm = { trackrod = 358.1 }",
     "34:27: front_left.lengths_mm.trackrod = 358.1: is no length of this corner; did you mean \"track_rod\"?"},
    {"length far from the drawn one",
     "camber_deg = -2.72",
     "camber_deg = -2.72\nlengths_mm = { track_rod = 258.1 }",
     "34:28: front_left.lengths_mm.track_rod = 258.1: is more than 50 mm from the drawn 358.148 mm"},
    {"negative scale reading",
     "scale_kg = 95.6",
     "scale_kg = -95.6",
     "40:12: front_right.scale_kg = -95.6: must not be negative"},
    {"negative ballast",
     "driver = 75.0",
     "driver = -75.0",
     "8:25: state.ballast_kg.driver = -75.0: must not be negative"},
    {"flags that no toe makes",
     "front = 41.6",
     "front = 641.6",
     "32:12: front_left.flags_mm: front and rear differ by 602 mm, more than the flags' span of 520 mm"},
    {"one flag of two",
     "flags_mm = { front = 41.6, rear = 39.6 }",
     "flags_mm = { front = 41.6 }",
     "32:12: front_left.flags_mm.rear: is missing: needs a number"},
    {"one string end of two",
     "rear_bar_mm = { left = 905.0, right = 905.0 }\n",
     "",
     "15:16: strings.front_bar_mm: front_bar_mm and rear_bar_mm are given together: one alone does not say how a string runs"},
    {"one pad of four missing",
     ", rear_right = 0.0 }",
     " }",
     "19:13: pads.height_mm.rear_right: is missing: needs a number"},
    {"steps that leave two pads alone",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_left\", to = \"front_right\", up = 0.1 }, { from = \"rear_left\", to = \"rear_right\", up = 0.1 }]",
     "19:12: pads.steps_mm: no step ties front_left to rear_left, rear_right: steps must lead to all four pads"},
    {"no steps",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = []",
     "19:12: pads.steps_mm = []: no step ties front_left to front_right, rear_left, rear_right: steps must lead to all four pads"},
    {"a step from a pad to itself",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_left\", to = \"front_left\", up = 0.1 }]",
     "19:41: pads.steps_mm[1].to = \"front_left\": a step leads from one pad to another"},
    {"a pair of pads twice",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_left\", to = \"front_right\", up = 0.1 }, { from = \"front_right\", to = \"front_left\", up = -0.1 }]",
     "19:97: pads.steps_mm[2].to = \"front_left\": this pair of pads stands above already: write the mean of both readings"},
    {"a step without its amount",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_left\", to = \"front_right\" }]",
     "19:13: pads.steps_mm[1].up: is missing: needs a number"},
    {"a step from nowhere",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_lfet\", to = \"front_right\", up = 0.1 }]",
     "19:22: pads.steps_mm[1].from = \"front_lfet\": needs one of front_left, front_right, rear_left, rear_right; did you mean \"front_left\"?"},
    {"a step of five metres",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_left\", to = \"front_right\", up = 5000.0 }]",
     "19:61: pads.steps_mm[1].up = 5000.0: goes beyond 1000 mm"},
    {"a step with a key of its own",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_left\", to = \"front_right\", down = 0.1 }]",
     "19:13: pads.steps_mm[1].up: is missing: needs a number\n19:56: pads.steps_mm[1].down = 0.1: is not a key here; known are from, to, up"},
    {"steps that are numbers",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [0.1, 0.2, 0.3]",
     "19:12: pads.steps_mm = [0.1, 0.2, 0.3]: needs tables, each under [[pads.steps_mm]]"},
    {"steps as one table",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = { front_left = 0.1 }",
     "19:12: pads.steps_mm: needs tables, each under [[pads.steps_mm]]"},
    {"a step that is no number",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "steps_mm = [{ from = \"front_left\", to = \"front_right\", up = nan }]",
     "19:61: pads.steps_mm[1].up = nan: must be a finite number"},
    {"heights and steps of the same pads",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }",
     "height_mm = { front_left = 0.0, front_right = 0.1, rear_left = -0.1, rear_right = 0.0 }\nsteps_mm = [{ from = \"front_left\", to = \"front_right\", up = 0.1 }, { from = \"front_right\", to = \"rear_right\", up = 0.1 }, { from = \"rear_right\", to = \"rear_left\", up = 0.0 }]",
     "20:12: pads.steps_mm: is given beside height_mm: only one of them may be"},
    {"zero check one way round",
     "{ facing = 0.06, turned = 0.02 }",
     "0.06",
     "29:20: gauge_check.camber_gauge_deg = 0.06: needs { facing = .., turned = .. }: a zero shows only both ways round"},
    {"camber beyond reason",
     "camber_deg = -1.72",
     "camber_deg = -172",
     "45:14: rear_left.camber_deg = -172: must lie within 45 degrees"},
    {"not a finite number",
     "rear_right = 41.6",
     "rear_right = nan",
     "26:14: ride_heights_mm.rear_right = nan: must be a finite number"},
    {"wrong type: text for a number",
     "scale_kg = 95.6",
     "scale_kg = \"95.6 kg\"",
     "40:12: front_right.scale_kg = \"95.6 kg\": needs a number"},
    {"wrong type: text for a date",
     "at = 2026-05-02T08:10:00Z",
     "at = \"this morning\"",
     "4:6: at = \"this morning\": needs a date or a date and time, without quotes, such as 2026-05-02T08:10:00Z"},
    {"empty list of readings",
     "front_right = [29.4, 29.6]",
     "front_right = []",
     "24:15: ride_heights_mm.front_right = []: is an empty list"},
    {"name from a list misspelt",
     "bars = \"off\"",
     "bars = \"of\"",
     "9:8: state.bars = \"of\": needs one of off, on; did you mean \"off\"?"},
    {"name from a list misspelt",
     "rack = \"locked at centre\"",
     "rack = \"locked\"",
     "10:8: state.rack = \"locked\": needs one of locked at centre, free"},
    {"shim without thickness",
     "\"camber shim\" = [2.0, 1.0]",
     "\"camber shim\" = [2.0, -1.0]",
     "35:30: front_left.shims_mm.\"camber shim\" = [2.0, -1.0]: a shim is thicker than 0 mm"},
    {"shim thinner than any foil",
     "\"camber shim\" = [2.0, 1.0]",
     "\"camber shim\" = [2.0, 1e-300]",
     "35:30: front_left.shims_mm.\"camber shim\" = [2.0, 1e-300]: a shim is 0.001 to 1000 mm thick"},
    {"pads of five metres",
     "front_right = 0.1, rear_left",
     "front_right = 5000.0, rear_left",
     "19:47: pads.height_mm.front_right = 5000.0: goes beyond 1000 mm"},
    {"flags apart nearly by their span",
     "front = 41.6, rear = 39.6",
     "front = 559.99, rear = 40.0",
     "32:12: front_left.flags_mm: front and rear differ by 519.99 mm on a flags' span of 520 mm: a wheel is never turned by more than 45 degrees"},
    {"ride height below the ground",
     "front_left = 30.8",
     "front_left = -30.8",
     "23:14: ride_heights_mm.front_left = -30.8: must be more than 0"},
    {"several faults",
     "camber_deg = -2.38\nscale_kg = 95.6",
     "camber_deg = \"-2.38\"\nscale_kg = -95.6",
     "39:14: front_right.camber_deg = \"-2.38\": needs a number\n40:12: front_right.scale_kg = -95.6: must not be negative"},
};

const std::vector<BrokenFile> broken_targets = {
    {"format newer",
     "shimwise-targets/1",
     "shimwise-targets/3",
     "2:10: format = \"shimwise-targets/3\": is newer than this version of shimwise, which reads up to \"shimwise-targets/1\""},
    {"unknown key",
     "camber = { value",
     "cambre = { value",
     "6:1: front_left.cambre: is not a key here; did you mean \"camber\"?"},
    {"unknown ride-height point",
     "rear_right = { value_mm",
     "rear_rigth = { value_mm",
     "30:14: ride_height.rear_rigth: is no ride-height point of the car; did you mean \"rear_right\"?"},
    {"unknown key",
     "front_difference",
     "front_diference",
     "24:1: car.front_diference: is not a key here; did you mean \"front_difference\"?"},
    {"two-sided target without a value",
     "toe = { value_deg = 0.10, tolerance_mm = 0.5 }",
     "toe = { tolerance_mm = 0.5 }",
     "5:24: front_left.toe.tolerance_mm = 0.5: a tolerance needs a value"},
    {"target that asks for nothing",
     "caster = { least_deg = 4.0 }",
     "caster = { }",
     "7:10: front_left.caster: needs value_deg, least_deg or most_deg"},
    {"tolerance finer than anything",
     "tolerance_deg = 0.05",
     "tolerance_deg = 5e-324",
     "6:47: front_left.camber.tolerance_deg = 5e-324: is less than 1e-6, finer than anything can be read"},
    {"tolerance not above 0",
     "tolerance_deg = 0.05",
     "tolerance_deg = 0.0",
     "6:47: front_left.camber.tolerance_deg = 0.0: must be more than 0"},
    {"tolerance not above 0",
     "tolerance_kg = 1.0",
     "tolerance_kg = -1.0",
     "24:53: car.front_difference.tolerance_kg = -1.0: must be more than 0"},
    {"value in deg and mm at once",
     "value_deg = 0.10,",
     "value_deg = 0.10, value_mm = 0.9,",
     "5:38: front_left.toe.value_mm = 0.9: is given beside value_deg: only one of them may be"},
    {"mm at the flags beyond their span",
     "value_deg = 0.10,",
     "value_mm = 900.0,",
     "5:20: front_left.toe.value_mm = 900.0: is more than the flags' span of 520 mm"},
    {"mm for an angle without flags",
     "value_deg = -2.60",
     "value_mm = -2.60",
     "6:12: front_left.camber.value_mm = -2.60: is not a key here; known are value_deg, least_deg, most_deg, tolerance_deg\n6:46: front_left.camber.tolerance_deg = 0.05: a tolerance needs a value"},
    {"no common tolerance",
     "rake = { value_mm = 12.0, tolerance_mm = 0.5 }",
     "rake = { value_mm = 12.0 }",
     "23:8: car.rake: needs tolerance_mm: there is no common practice for it"},
    {"least above most",
     "least_deg = 4.0",
     "least_deg = 4.0, most_deg = 3.0",
     "7:40: front_left.caster.most_deg = 3.0: is less than least_deg"},
    {"value outside its own limits",
     "value_deg = -1.60,",
     "value_deg = -1.60, most_deg = -2.0,",
     "16:24: rear_left.camber.value_deg = -1.60: lies outside its own least and most"},
    {"not a finite number",
     "value_kg = 0.0",
     "value_kg = inf",
     "24:33: car.front_difference.value_kg = inf: must be a finite number"},
    {"less than nothing to the droop stop",
     "caster = { least_deg = 4.0 }",
     "to_droop_stop = { least_mm = -1.0 }",
     "7:30: front_left.to_droop_stop.least_mm = -1.0: must be at least 0"},
    {"more to the droop stop than a damper moves",
     "caster = { least_deg = 4.0 }",
     "to_droop_stop = { least_mm = 300.0 }",
     "7:30: front_left.to_droop_stop.least_mm = 300.0: is more than the damper's whole range of 45 mm"},
    {"a spring that its droop stop does not let be so long",
     "caster = { least_deg = 4.0 }",
     "to_droop_stop = { least_mm = 4.0 }\nspring_length = { value_mm = 249.0, tolerance_mm = 0.5 }",
     "7:30: front_left.to_droop_stop.least_mm = 4.0: leaves the spring at most 246 mm, less than "
     "spring_length.value_mm"},
    {"a droop stop as a wish",
     "caster = { least_deg = 4.0 }",
     "to_droop_stop = { value_mm = 5.0 }",
     "7:17: front_left.to_droop_stop: needs least_mm\n7:19: front_left.to_droop_stop.value_mm = 5.0: is not a key here; known are least_mm"},
    {"wrong type: number for a table",
     "caster = { least_deg = 4.0 }",
     "caster = 4.0",
     "7:10: front_left.caster = 4.0: needs a table"},
};

const std::vector<BrokenFile> broken_settings = {
    {"format of another kind",
     "shimwise-settings/1",
     "shimwise-targets/1",
     "1:10: format = \"shimwise-targets/1\": this is a targets file, a settings file is needed (\"shimwise-settings/1\")"},
    {"another car",
     "car = \"Wren\"",
     "car = \"Wern\"",
     "2:7: car = \"Wern\": these settings are of another car: this one is \"Wren\""},
    {"unknown key",
     "turns = {",
     "truns = {",
     "3:1: truns: is not a key here; did you mean \"turns\"?"},
    {"unknown adjuster",
     "\"front_left.track rod\" = 1.25",
     "\"front_left.trackrod\" = 1.25",
     "3:35: turns.\"front_left.trackrod\" = 1.25: is no adjuster of the car; did you mean \"front_left.track rod\"?"},
    {"unknown corner",
     "\"front_left.track rod\" = 1.25",
     "\"frontleft.track rod\" = 1.25",
     "3:35: turns.\"frontleft.track rod\" = 1.25: is no adjuster of the car; did you mean \"front_left.track rod\"?"},
    {"thread among the shims",
     "\"front_left.camber shim\" = [2.0, 0.5]",
     "\"front_left.pushrod\" = [2.0, 0.5]",
     "4:37: shims_mm.\"front_left.pushrod\" = [2.0, 0.5]: is a thread: it stands under turns"},
    {"shims among the threads",
     "\"front_left.track rod\" = 1.25",
     "\"front_left.camber shim\" = 1.25",
     "3:38: turns.\"front_left.camber shim\" = 1.25: is a stack of shims: it stands under shims_mm"},
    {"limits that exclude the present setting",
     "\"front_left.track rod\" = 1.25",
     "\"front_left.track rod\" = 7.5",
     "3:36: turns.\"front_left.track rod\" = 7.5: limits_turns: excludes the setting of 7.5 turns: allowed are -6 to 6"},
    {"stack outside its limits",
     "[2.0, 0.5] }",
     "[2.0, 5.5] }",
     "4:41: shims_mm.\"front_left.camber shim\" = [2.0, 5.5]: limits_mm: excludes the stack of 7.5 mm: allowed are 0 to 6"},
    {"unknown box",
     "box_mm = { front",
     "box_mm = { frnt",
     "5:19: box_mm.frnt = [0.5, 0.5, 1.0, 2.0]: is no box of the car; did you mean \"front\"?"},
    {"wrong type: text for a number",
     "= 1.25",
     "= \"1.25\"",
     "3:36: turns.\"front_left.track rod\" = \"1.25\": needs a number"},
    {"shim without thickness",
     "[2.0, 0.5] }",
     "[2.0, 0.0] }",
     "4:41: shims_mm.\"front_left.camber shim\" = [2.0, 0.0]: a shim is thicker than 0 mm"},
    {"not a finite number",
     "= 1.25",
     "= nan",
     "3:36: turns.\"front_left.track rod\" = nan: must be a finite number"},
    {"missing key",
     "car = \"Wren\"\n",
     "",
     "1:1: car: is missing: needs a text in quotes"},
};
// clang-format on

template <class Load>
void demand(const std::string& good, const std::vector<BrokenFile>& all, const Load& load) {
    const Car car = load_car(demo_path("wren.toml"));
    const auto load_for_car = [&](const std::string& path) { load(path, car); };
    CHECK(complaint(good, load_for_car).empty());
    for (const BrokenFile& broken : all) {
        INFO(broken.kind << ": " << broken.to);
        CHECK(complaint(edited(good, broken.from, broken.to), load_for_car) == broken.expected);
    }
}

}  // namespace

TEST_CASE("a broken readings file gets one sentence per fault") {
    demand(text_of(demo_path("wren_readings.toml")), broken_readings, load_readings);
}

TEST_CASE("a broken targets file gets one sentence per fault") {
    demand(text_of(demo_path("wren_targets.toml")), broken_targets, load_targets);
}

TEST_CASE("a broken settings file gets one sentence per fault") {
    demand(good_settings, broken_settings, load_settings);
}

TEST_CASE("there are many broken workshop files of many kinds") {
    std::set<std::string> kinds;
    for (const auto* table : {&broken_readings, &broken_targets, &broken_settings})
        for (const BrokenFile& broken : *table) kinds.insert(broken.kind);
    std::string list;
    for (const std::string& kind : kinds) list += kind + "\n";
    INFO(list);
    CHECK(broken_readings.size() + broken_targets.size() + broken_settings.size() >= 50);
    CHECK(kinds.size() >= 25);
}

TEST_CASE("a reading needs the instrument that took it in the car file") {
    Car car = load_car(demo_path("wren.toml"));
    car.instruments.flag_ruler = {};
    car.instruments.scale = {};
    const std::string said = complaint(
        "format = \"shimwise-readings/1\"\n[rear_left]\nflags_mm = { front = 40.0, rear = "
        "39.0 }\nscale_kg = 150.0\n",
        [&](const std::string& path) { load_readings(path, car); });
    CHECK(said ==
          "3:12: rear_left.flags_mm: the car file gives no [instruments] flag_ruler: its uncertainty is not known\n"
          "4:12: rear_left.scale_kg = 150.0: the car file gives no [instruments] scale: its uncertainty is not known");
}

TEST_CASE("toe in mm needs the span of the flags") {
    Car car = load_car(demo_path("wren.toml"));
    for (Corner& corner : car.corners) corner.wheel.flag_span_mm = 0.0;
    const std::string said =
        complaint("format = \"shimwise-targets/1\"\n[rear_left]\ntoe = { value_mm = 1.0, tolerance_deg = 0.05 }\n",
                  [&](const std::string& path) { load_targets(path, car); });
    CHECK(said ==
          "3:20: rear_left.toe.value_mm = 1.0: the car file gives no flag_span_mm for this wheel: give degrees");
}
